"""Hours worked in; where they went, what they earned and what each job makes out."""

from crewplan.ledger.book import Book, open_book
from crewplan.ledger.expected import expected_and_happened
from crewplan.ledger.findings import findings
from crewplan.ledger.lines import hours_by, hours_in_all
from crewplan.ledger.losses import job_losses
from crewplan.ledger.margins import job_margins
from crewplan.ledger.questions import questions
from crewplan.ledger.standing import Standings, stand

__all__ = [
    "Book",
    "Standings",
    "expected_and_happened",
    "findings",
    "hours_by",
    "hours_in_all",
    "job_losses",
    "job_margins",
    "open_book",
    "questions",
    "stand",
]
