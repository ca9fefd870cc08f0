"""Links to operators; each owns both directions: bytes in to text, text to bytes."""
