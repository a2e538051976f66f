"""The text of a file with one kind of line ending, and back with its own."""


def text_of(content: bytes) -> str:
    """The text of a file that has been read, its lines ended in one way."""
    return content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")


def bytes_of(text: str, like: bytes) -> bytes:
    """Text as a file with the line endings of another."""
    return (text.replace("\n", "\r\n") if b"\r\n" in like else text).encode()
