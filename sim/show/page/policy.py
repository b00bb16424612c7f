"""What the content security policy of a page says of what stands in it."""

from base64 import b64encode
from hashlib import sha256


def source_hash(text: str) -> str:
    """Source expression of an inline script or style for a content security policy."""
    return "sha256-" + b64encode(sha256(text.encode()).digest()).decode()
