"""What the `slipsheet` command does, a file for each group of its commands."""
