"""The desk: the local web page where the teacher reads."""
