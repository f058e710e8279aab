"""Forecasts from outside: an answer in, rows of the `weather` table out, or one sentence why not.

A feed asks through a function (`Ask`), so that reading an answer needs no network. What an answer
does not tell, or tells in a way that is not understood, is left empty: unknown, never fine.
"""

from crewplan.intake.feeds.feed import Answer, Ask, Feed, FeedFault, FeedPlace, Fetched, Question
from crewplan.intake.feeds.feed_table import feed_table
from crewplan.intake.feeds.kinds import feed_of

__all__ = [
    "Answer",
    "Ask",
    "Feed",
    "FeedFault",
    "FeedPlace",
    "Fetched",
    "Question",
    "feed_of",
    "feed_table",
]
