"""The crew's day on a telephone: small, in two languages, kept for where there is no network."""
