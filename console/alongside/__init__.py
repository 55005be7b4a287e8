"""alongside: keeps watch over a moored ship's lines through a port stay."""

__version__ = "0.1.0"
