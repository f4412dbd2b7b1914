"""A mail server on this computer that keeps what it takes, and behaves badly when told to.

Usage: smtp_sink.py FOLDER [option=value ...]. Prints its port, then serves until its standard input ends.
Each message it takes is one file in FOLDER, written before the answer goes out.
"""
import asyncio
import os
import ssl
import subprocess
import sys
import time

from aiosmtpd.smtp import SMTP, AuthResult

folder = sys.argv[1]
options = dict(word.split("=", 1) for word in sys.argv[2:])
taken = 0


class Keeper:
    async def handle_RCPT(self, server, session, envelope, address, rcpt_options):
        if "rcpt" in options:
            return options["rcpt"]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_MAIL(self, server, session, envelope, address, mail_options):
        if "mail" in options:
            return options["mail"]
        envelope.mail_from = address
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        global taken
        before = float(options.get("before", "0"))
        if before:
            await asyncio.sleep(before)
        if "text" in options:
            return options["text"]
        taken += 1
        name = os.path.join(folder, "%d-%d-%06d" % (time.time_ns(), os.getpid(), taken))
        with open(name + ".part", "wb") as out:
            out.write(("%s %s\n" % (envelope.mail_from, ",".join(envelope.rcpt_tos))).encode())
            out.write(envelope.original_content)
        os.rename(name + ".part", name + ".mail")
        if "silent" in options:
            await asyncio.sleep(3600)
        if "hang-up" in options:
            server.transport.abort()
            return "250 never said"
        after = float(options.get("after", "0"))
        if after:
            await asyncio.sleep(after)
        return "250 kept as %d" % taken


class Server(SMTP):
    async def smtp_DATA(self, arg):
        if options.get("drop") == "in-text":
            await self.push("354 go on")
            await asyncio.sleep(0.05)
            self.transport.abort()
            return
        if "data" in options:
            await self.push(options["data"])
            return
        await super().smtp_DATA(arg)


def certificate():
    if "certificate" not in options:
        return None
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(options["certificate"], options["key"])
    return context


def login(server, session, envelope, mechanism, data):
    good = (data.login, data.password) == (options["user"].encode(), options["password"].encode())
    return AuthResult(success=good)


async def serve():
    context = certificate()
    from_start = options.get("tls") == "from-start"

    def make():
        more = {}
        if "user" in options:
            more = dict(authenticator=login, auth_required=True, auth_require_tls=False)
        return Server(Keeper(), hostname="sink.test", loop=asyncio.get_running_loop(),
                      tls_context=None if from_start else context,
                      require_starttls=context is not None and not from_start, **more)

    server = await asyncio.get_running_loop().create_server(
        make, "127.0.0.1", 0, ssl=context if from_start else None)
    print(server.sockets[0].getsockname()[1], flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)
    os._exit(0)


if "make-certificate" in options:
    subprocess.run(["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "30", "-subj", "/CN=localhost",
                    "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1",
                    "-out", options["certificate"], "-keyout", options["key"]],
                   check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
asyncio.run(serve())
