"""Training: simulated feed logs, and exercises on recorded ones."""
