"""Step routes: the way each cable takes, its cost, its holes, and the alternatives."""
