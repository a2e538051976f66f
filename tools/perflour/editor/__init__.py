"""Formula files while they are typed: what an editor is told of a text before it is saved, and the server that tells it."""
