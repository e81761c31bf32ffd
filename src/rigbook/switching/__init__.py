"""Language, compiled program, evaluation, stepping."""
