"""What measured loads show of ropes and lengths: an estimate with its spread, never taken by itself."""
