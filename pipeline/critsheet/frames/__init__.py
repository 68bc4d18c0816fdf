"""Frames of the shot: the time base."""
