"""The instruments' faces for paper: vector drawings with the scales and marks of the faces on the screen.

A face has a ground, drawn once a page and used by its name, and pointers, drawn for each reading.
"""
