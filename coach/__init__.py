"""An offline, voice-guided, hands-free practice coach: a training aid, never for patient care."""

__version__ = "0.1.0"
