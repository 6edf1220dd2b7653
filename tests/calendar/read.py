"""Reads a calendar file with two libraries that know nothing of each other, and prints what each found as JSON.

Arguments: the file, and an IANA zone for the local times. Output: {"icalendar": [event, ...], "vobject": [event, ...]}.
"""
import json
import sys
from datetime import datetime, timezone
from zoneinfo import ZoneInfo

import icalendar
import vobject


def moment(value):
    if not isinstance(value, datetime):
        return value.isoformat()  # a whole day
    return value.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")


def event(zone, uid, sequence, stamp, start, end, summary, description, location, status, alarms):
    return {
        "uid": uid,
        "sequence": int(sequence),
        "changed": moment(stamp),
        "start": moment(start),
        "end": moment(end),
        "local": start.astimezone(zone).isoformat() if isinstance(start, datetime) else start.isoformat(),
        "summary": summary,
        "description": description,
        "location": location,
        "status": status,
        "alarms": alarms,
    }


def by_icalendar(octets, zone):
    calendar = icalendar.Calendar.from_ical(octets)
    assert str(calendar["VERSION"]) == "2.0", calendar["VERSION"]
    assert str(calendar["NAME"]) == str(calendar["X-WR-CALNAME"]), calendar["NAME"]
    assert calendar["REFRESH-INTERVAL"].dt.total_seconds() == 900, calendar["REFRESH-INTERVAL"]
    for part in calendar.walk():
        assert not part.errors, part.errors
    found = []
    for e in calendar.walk("VEVENT"):
        assert e["LAST-MODIFIED"].dt == e["DTSTAMP"].dt, e["LAST-MODIFIED"]
        alarms = [
            {"seconds": int(a["TRIGGER"].dt.total_seconds()), "text": str(a["DESCRIPTION"])}
            for a in e.walk("VALARM")
        ]
        end = e["DTEND"].dt if "DTEND" in e else e["DTSTART"].dt
        found.append(
            event(
                zone, str(e["UID"]), e["SEQUENCE"], e["DTSTAMP"].dt, e["DTSTART"].dt, end, str(e["SUMMARY"]),
                str(e.get("DESCRIPTION", "")), str(e["LOCATION"]) if "LOCATION" in e else None, str(e["STATUS"]), alarms,
            )
        )
    return found


def by_vobject(octets, zone):
    calendar = vobject.readOne(octets.decode("utf-8", "strict"))
    calendar.validate(raiseException=True)
    found = []
    for e in calendar.contents.get("vevent", []):
        alarms = [
            {"seconds": int(a.trigger.value.total_seconds()), "text": a.description.value}
            for a in e.contents.get("valarm", [])
        ]
        end = e.dtend.value if "dtend" in e.contents else e.dtstart.value
        found.append(
            event(
                zone, e.uid.value, e.sequence.value, e.dtstamp.value, e.dtstart.value, end, e.summary.value,
                e.description.value if "description" in e.contents else "",
                e.location.value if "location" in e.contents else None, e.status.value, alarms,
            )
        )
    return found


if __name__ == "__main__":
    with open(sys.argv[1], "rb") as file:
        octets = file.read()
    zone = ZoneInfo(sys.argv[2])
    print(json.dumps({"icalendar": by_icalendar(octets, zone), "vobject": by_vobject(octets, zone)}))
