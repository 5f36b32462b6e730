"""The frozen values that pass from room to room: score, line, tone, finding, review."""
