"""The `gloveside` command: wiring of the rooms, and nothing else."""
