"""Reads a mail with Python's own parser and prints what it found as JSON. Usage: read_mail.py FILE"""
import email
import email.header
import email.policy
import email.utils
import json
import sys



def mailbox(value):
    """Name and address. Not by the new policy: Python 3.11 puts a blank between adjacent encoded words of a name,
    which RFC 2047 6.2 says are to be joined."""
    name, address = email.utils.parseaddr(value.replace("\r\n", ""))
    return [str(email.header.make_header(email.header.decode_header(name))), address]


with open(sys.argv[1], "rb") as source:
    # from bytes: reading the file as text would turn CRLF into LF
    mail = source.read()
message = email.message_from_bytes(mail, policy=email.policy.default)
raw = email.message_from_bytes(mail, policy=email.policy.compat32)
defects = [str(defect) for part in message.walk() for defect in part.defects]
defects += [str(defect) for value in message.values() for defect in getattr(value, "defects", [])]
parts = []
for part in message.walk():
    one = {"type": part.get_content_type(), "name": part.get_filename(),
           "method": part.get_param("method"), "disposition": part.get_content_disposition()}
    if not part.is_multipart():
        one["text"] = part.get_payload(decode=True).decode("utf-8")
    parts.append(one)
json.dump({"defects": defects, "headers": [[name, str(value)] for name, value in message.items()],
           "to": [mailbox(one) for one in raw.get_all("To")], "from": [mailbox(one) for one in raw.get_all("From")],
           "parts": parts}, sys.stdout)
