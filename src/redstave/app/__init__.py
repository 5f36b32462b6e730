"""Use cases: the only place where the rooms are wired together."""
