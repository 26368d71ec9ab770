"""The command line: the only place that prints, exits and composes."""
