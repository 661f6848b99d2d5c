"""The input: one house as frozen records, read from and written to a folder of plain text. Knows only core."""
