"""The most valuable layout of one plain plate, each blank wanted so many times at most."""
