"""Ratios: what the program takes, against a bare reference measured in the same run. `python -m tests.bench` prints them.

A file that has a function `ratios()` adds its rows to the table by being here.
"""
