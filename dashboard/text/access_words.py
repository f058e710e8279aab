"""Words for those who are not let in."""

NOT_FOR_YOU = "This is not for your role"
