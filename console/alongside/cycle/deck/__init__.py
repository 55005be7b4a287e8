"""What happened on deck: lines parted, let go, made fast anew, and what was entered wrongly taken back."""
