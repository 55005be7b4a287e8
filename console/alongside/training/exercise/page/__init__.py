"""The debrief as a page to print: what a trainer hands to the trainee."""
