"""The preview: the very pages that are printed, shown in the program."""
