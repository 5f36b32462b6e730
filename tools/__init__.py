"""Scripts for those who work on Redstave; none of them is part of the package."""
