"""Units, citations and errors: what every other room stands on. Imports nothing of ours."""
