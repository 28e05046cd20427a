"""The field log: what a device carries with it, and what it sends when it is heard again."""
