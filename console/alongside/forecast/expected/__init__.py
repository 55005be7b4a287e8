"""What is expected of draught, tide and wind, and how far it may be off."""
