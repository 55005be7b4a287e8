"""The console on the screen: a Textual app that shows Pictures and hands back what the watch does."""
