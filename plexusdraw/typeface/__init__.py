"""The typeface as files: Atkinson Hyperlegible with a plain zero, under the SIL Open Font License 1.1 (OFL.txt)."""
