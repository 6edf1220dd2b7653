"""A notification daemon that shows nothing and writes down every call, one JSON line each, before it answers.

Arguments: the file to write to, how to answer ("yes", "error", "never"), and the capabilities it claims. Prints a line
once it owns the name. Run by the system's Python, which has dbus and gi from Debian's packages.
"""
import json
import sys

import dbus
import dbus.service
from dbus.mainloop.glib import DBusGMainLoop
from gi.repository import GLib

NAME = "org.freedesktop.Notifications"


class Recorder(dbus.service.Object):
    def __init__(self, bus, path, answer, capabilities):
        super().__init__(bus, "/org/freedesktop/Notifications")
        self.names = dbus.Interface(bus.get_object("org.freedesktop.DBus", "/org/freedesktop/DBus"), "org.freedesktop.DBus")
        self.file = open(path, "a", encoding="utf-8")
        self.answer = answer
        self.capabilities = capabilities
        self.count = 0

    @dbus.service.method(NAME, in_signature="", out_signature="as")
    def GetCapabilities(self):
        return dbus.Array(self.capabilities, signature="s")

    @dbus.service.method(NAME, in_signature="", out_signature="ssss")
    def GetServerInformation(self):
        return ("recorder", "tests", "1", "1.2")

    @dbus.service.method(
        NAME, in_signature="susssasa{sv}i", out_signature="u", sender_keyword="sender", async_callbacks=("done", "fail")
    )
    def Notify(self, app, replaces, icon, summary, body, actions, hints, timeout, sender, done, fail):
        if not replaces:
            self.count += 1
        number = int(replaces) or self.count
        try:
            pid = int(self.names.GetConnectionUnixProcessID(sender))
        except dbus.DBusException:
            pid = 0  # It is gone already.
        call = {
            "pid": pid,
            "app": app,
            "summary": summary,
            "body": body,
            "urgency": int(hints["urgency"]) if "urgency" in hints else None,
            "sound": str(hints["sound-name"]) if "sound-name" in hints else None,
            "tag": str(hints.get("x-dunst-stack-tag", "")),
            "timeout": int(timeout),
            "id": number,
            "replaces": int(replaces),
            "actions": [str(action) for action in actions],
        }
        self.file.write(json.dumps(call) + "\n")
        self.file.flush()
        if self.answer == "yes":
            done(dbus.UInt32(number))
        elif self.answer == "error":
            fail(dbus.DBusException("the screen is full", name="org.freedesktop.Notifications.Full"))

    @dbus.service.method(NAME, in_signature="u", out_signature="")
    def CloseNotification(self, number):
        self.file.write(json.dumps({"closed": int(number)}) + "\n")
        self.file.flush()

    @dbus.service.method("tests.Recorder", in_signature="us", out_signature="")
    def Press(self, number, action):
        """A person presses that button of that notice."""
        self.ActionInvoked(number, action)

    @dbus.service.signal(NAME, signature="us")
    def ActionInvoked(self, number, action):
        pass


if __name__ == "__main__":
    DBusGMainLoop(set_as_default=True)
    session = dbus.SessionBus()
    recorder = Recorder(session, sys.argv[1], sys.argv[2], sys.argv[3:])
    name = dbus.service.BusName(NAME, session, do_not_queue=True)
    print("ready", flush=True)
    GLib.MainLoop().run()
