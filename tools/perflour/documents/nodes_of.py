"""The nodes of a text as libyaml composes them, for what needs places and no data."""

from perflour.documents.reader import Node, root_of_ordinary


def nodes_of(text: str) -> Node:
    """The nodes of a text, or of a piece of one, that ``read_document`` has read before."""
    if root := root_of_ordinary(text):
        return root
    from perflour.documents.by_pyyaml import Composer  # which loads pyyaml

    parser = Composer(text)
    try:
        return parser.get_single_node()
    finally:
        parser.dispose()


def is_list(node: Node) -> bool:
    """Whether a node is a list."""
    return bool(node.id == "sequence")


def is_scalar(node: Node) -> bool:
    """Whether a node is a single value."""
    return bool(node.id == "scalar")
