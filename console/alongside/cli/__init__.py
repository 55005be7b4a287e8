"""The command line: arguments, exit statuses, one file a command."""
