"""Speed, measured as ratios to something known in the same run."""
