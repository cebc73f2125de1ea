"""Every error the tool raises on purpose. Each message says what, where and what to do."""


class AuditError(Exception):
    """Base of all errors that a user can mend."""


class UnreadableFile(AuditError):
    """A file that could not be read as a drawing; the message names the way out."""


class UsageError(AuditError):
    """A setting or an argument that makes no sense."""


class InexactError(AuditError):
    """A conversion to an exact number that does not exist."""
