"""What became of the piano piece: bars, tones, voices and habits beside the original."""
