"""What guidance has against a plan of lines that is well formed: no remark, since every value may be meant.

model      a note, and the sources that it stands on     planned    leads and loads by the plan
leads      angles of the lines                           services   lines that do the same work
ashore     bollards and dolphins: loads, uplift          on_board   strength, brakes, bitts
chocks     what turns a line                             all        every note, at its place
"""
