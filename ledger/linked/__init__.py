"""A book as Linked Art: JSON-LD in the terms of an open standard, for programs that know nothing of this one."""
