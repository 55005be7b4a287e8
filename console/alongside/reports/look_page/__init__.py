"""The look-only page for a browser: a Picture as plain values, and the files of the page itself.

figures  all of it, part by part, as JSON      now        ship, clock, headline, what comes next
lines    the worst lines and their bars        water      wind, holding, tide, draughts, under keel, gauges
alerts   rows of alerts                        plan       the plan as SVG
files    HTML, style and script, with words filled in
"""
