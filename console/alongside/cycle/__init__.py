"""From readings to the Picture that a screen shows. Pure: no file, clock, thread or screen."""
