"""Pictures: values in, figure out."""
