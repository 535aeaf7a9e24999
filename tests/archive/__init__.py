"""Tests of the archive: written, read, brought in, tampered with."""
