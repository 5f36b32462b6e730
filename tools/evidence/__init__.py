"""Scripts that measure Redstave against things its authors did not write."""
