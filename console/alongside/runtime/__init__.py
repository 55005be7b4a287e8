"""What runs: a live watch, a replay, a second console, each on Workers (`worker`), the only threads but those
that the screens start.

thread          in                  does                                         others reach it by
feed NAME       feed_thread         reads one port, hands on its lines           stop
alerts out      alerts_sender       writes to the port to the bridge, reads it  post (messages)
watch           live                cycles each second, writes the record        hear (lines), act
replay          replay              plays the log at its pace                    act, control
read ahead      replay_cache        plays the log ahead of whoever watches it    wake
judging         of an exercise's desk  plays on what its debrief is made of       wake
emit            emitter             plays lines onto a port                      wait, stop
lines ahead     lines_ahead         makes lines of a simulation ahead of emit    next, stop
what the log holds  log_spans       reads a log through for the times it holds   known
look            look_only           follows the record of another console       act (refused), control
instruct        training.station    follows a trainee, asks for what is put in   act, control
measure         training.station    works out what an exercise is measured by    of (posts it)
look-only page  page_desk           the main thread: serves the page to browsers  a Picture (newest_parts)
forecast        forecast_worker     works out the hours ahead                    a question, one at a time

The screen's own thread only posts (`Desk.act`, `Desk.control`) and gets Pictures as messages.
"""
