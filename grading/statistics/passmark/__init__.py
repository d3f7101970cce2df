"""Pass marks in percent by five methods. Nothing is imported here."""

__all__ = ["angoff", "borderline", "contrasting", "ebel", "hofstee", "rate"]
