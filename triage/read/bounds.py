"""How much of an input is read: each bound keeps one hostile or broken file from stopping the rest.

`docs/bounds.md` says of each what happens beyond it; a test holds the two together.
"""

SNIFFED_BYTES = 65_536
"""Read from the start of a file to tell what kind it is. [bytes]"""

DEEPEST_FOLDER = 40
"""Folders within folders; what lies deeper is refused. [folders]"""

LONGEST_TEXT_CHARACTERS = 200_000
"""Kept of one message's text; a longer one is cut and flagged `cut-short`. [characters]"""

LONGEST_BODY_CHARACTERS = 1_000_000
"""Looked at of one mail's body before quoted mail is left out; the rest is cut and flagged. [characters]"""

LARGEST_MAIL_BYTES = 33_554_432
"""Read of one mail, attachments included (32 MiB); the rest is passed over and the mail flagged. [bytes]"""

MOST_MAIL_LINES = 1_000_000
"""Read of one mail: the parser keeps every line by itself; the rest is passed over and the mail flagged. [lines]"""

LONGEST_LINE_BYTES = 1_048_576
"""A longer line of a mail (1 MiB) is folded there: the parser takes four bytes for each of its characters. [bytes]"""

MOST_HEADERS = 1_000
"""Kept of one part of a mail; every look at a header goes through all of them. [headers]"""

LONGEST_HEADER_CHARACTERS = 8_000
"""Kept of one header line: several of its readers take time with the square of its length. [characters]"""

DEEPEST_MIME_NESTING = 50
"""Parts within parts; a mail nested deeper is refused. [parts]"""

MOST_MIME_PARTS = 1_000
"""Parts of one mail; a mail with more is refused. [parts]"""

MOST_LINES_TIMES_NESTING = 10_000_000
"""Each line of a mail is held against the boundary of every part it lies in; more is refused. [lines × parts]"""

MOST_ATTACHMENTS = 200
"""Described of one mail; the rest is left out. [attachments]"""

MOST_HTML_TAGS = 20_000
"""Read of one HTML body: the tree takes time with the square of its depth. [tags]"""

LONGEST_HTML_TAG_CHARACTERS = 1_000
"""A longer tag (a picture written into the page) keeps its name and loses its attributes. [characters]"""

LONGEST_RECORD_CHARACTERS = 4_000_000
"""One row of an export or one JSON value; a longer one is refused and passed over. [characters]"""

MOST_LINES_OF_A_RECORD = 20_000
"""Line breaks within the cells of one row; a row with more is refused. [lines]"""

MOST_READ_AGAIN_CHARACTERS = 100_000_000
"""After a quotation mark that is never closed the lines below it are read again: so much, and four times what was read
of the export besides; beyond it the rest is left. [characters]"""

MOST_COLUMNS = 1_000
"""Columns of a table, names of a JSON object; one with more is refused. [columns]"""

MOST_ROWS_REFUSED_RUNNING = 10_000
"""After so many damaged rows without a whole one between them the file is no table. [rows]"""

MOST_DAMAGED_ENTRIES = 20
"""Of one JSON array; beyond them the rest is left. [entries]"""

DEEPEST_JSON_NESTING = 100
"""Answers to answers in a comment export; deeper ones are refused. [levels]"""

LARGEST_NOTE_BYTES = 4_000_000
"""Read of one text file; the rest is cut and its messages flagged. [bytes]"""

MOST_NOTES = 5_000
"""Messages between lines of dashes in one text file; the rest is refused. [messages]"""

LONGEST_SUBJECT_CHARACTERS = 1_000
"""Kept of a subject. [characters]"""

LONGEST_NAME_CHARACTERS = 200
"""Kept of an author's or an attachment's name. [characters]"""

LONGEST_ID_CHARACTERS = 1_000
"""Kept of a message's id. [characters]"""

LONGEST_DATE_CHARACTERS = 100
"""A longer date is read as none. [characters]"""

MOST_REFERENCES = 200
"""Earlier messages that one mail can name; the latest are kept. [messages]"""

LARGEST_LIKES = 10**12
"""A count of likes beyond this is a fault in the export and read as none. [likes]"""
