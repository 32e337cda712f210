"""Compiled inner loops. Plain arrays in, plain arrays out; numba is imported only from here."""
