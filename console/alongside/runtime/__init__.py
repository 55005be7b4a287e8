"""What runs: a live watch, a replay, a second console. Threads live here, in `feeds`, in `screens`."""
