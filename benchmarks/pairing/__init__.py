"""Originals and entries made from each other by known steps, so that every link is known."""
