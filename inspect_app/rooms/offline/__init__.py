"""Lampwalk as an installed app: its name and icons, the worker that keeps it on the tablet, and the pages it keeps."""
