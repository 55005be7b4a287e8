"""Times to decide by: worked by hand, properties, the chance said."""
