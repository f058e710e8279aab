"""What somebody opened the board with, in two words out of what a browser says of itself."""

_BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung Internet"),
    ("Firefox", "Firefox"),
    ("FxiOS", "Firefox"),
    ("CriOS", "Chrome"),
    ("Chrome", "Chrome"),
    ("Safari", "Safari"),
)
"""First sign found counts: nearly all of them also call themselves Chrome and Safari."""

_DEVICES = (
    ("iPhone", "an iPhone"),
    ("iPad", "an iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("CrOS", "a Chromebook"),
    ("Mac OS X", "a Mac"),
    ("Linux", "Linux"),
)


def device_words(said: str) -> str:
    """'Chrome on Android'; what a browser said, where no sign in it is known."""
    browser, device = (
        next((words for sign, words in known if sign in said), "")
        for known in (_BROWSERS, _DEVICES)
    )
    if browser and device:
        return f"{browser} on {device}"
    return browser or device or said or "a browser without a name"
