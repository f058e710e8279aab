"""The tables of an invented company: README.md says so, make_demo.py makes them."""
