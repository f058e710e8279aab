"""Rows that the pages show, picked and added up from the view."""
