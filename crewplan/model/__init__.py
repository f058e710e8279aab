"""The words of the trade as plain frozen types with units. Imports nothing else of crewplan."""
