"""How far each gauge can be believed, by several witnesses: itself over time, the tide table, the cargo plan,
the other gauges; and what carries a gauge on that is lost.

sigmas       how far each witness may be off, and why   model     doubts, and what is remembered
witnesses    table, plan and bearing of a stay          judge     every witness heard, once a minute
believed     readings with their doubts                 carried_on   gauges that are lost
alternative  figures by the witnesses, worse ends       jumps still tide_witness ship_witness   the tests
"""
