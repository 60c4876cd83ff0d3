"""How much of an input is read: each bound keeps one hostile or broken file from stopping the rest."""

SNIFFED_BYTES = 65_536
"""Read from the start of a file to tell what kind it is. [bytes]"""

LONGEST_TEXT_CHARACTERS = 200_000
"""Kept of one message's text; a longer one is cut and flagged `cut-short`. [characters]"""

LONGEST_BODY_CHARACTERS = 1_000_000
"""Looked at of one mail's body before quoted mail is left out; the rest is cut and flagged. [characters]"""

LARGEST_MAIL_BYTES = 33_554_432
"""Read of one mail, attachments included (32 MiB); the rest is passed over and the mail flagged. [bytes]"""

LONGEST_HEADER_CHARACTERS = 8_000
"""Kept of one header line: several of its readers take time with the square of its length. [characters]"""

DEEPEST_MIME_NESTING = 50
"""Parts within parts; a mail nested deeper is refused. [-]"""

MOST_MIME_PARTS = 1_000
"""Parts of one mail; a mail with more is refused. [-]"""

MOST_HTML_TAGS = 20_000
"""Read of one HTML body: the tree takes time with the square of its depth. [-]"""

LONGEST_HTML_TAG_CHARACTERS = 1_000
"""A longer tag (a picture written into the page) keeps its name and loses its attributes. [characters]"""

LONGEST_RECORD_CHARACTERS = 8_000_000
"""One row of an export or one JSON value; a longer one is refused and passed over. [characters]"""

DEEPEST_JSON_NESTING = 100
"""Answers to answers in a comment export; deeper ones are refused. [-]"""

LONGEST_SUBJECT_CHARACTERS = 1_000
"""Kept of a subject. [characters]"""

LONGEST_NAME_CHARACTERS = 200
"""Kept of an author's or an attachment's name. [characters]"""

LONGEST_ID_CHARACTERS = 1_000
"""Kept of a message's id. [characters]"""

MOST_REFERENCES = 200
"""Earlier messages that one mail can name; the latest are kept. [-]"""

LARGEST_LIKES = 10**12
"""A count of likes beyond this is a fault in the export and read as none. [-]"""
