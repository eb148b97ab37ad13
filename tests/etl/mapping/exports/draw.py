"""Invented jobs to fill exports with: neutral facts, and how four languages write them."""

import random
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

WORDS = {
    "us": {
        "kind": ["Refrigerator", "Washer", "Dishwasher", "Dryer - elec", "Freezer", "Gas range"],
        "symptom": ["Not cooling", "Leaking", "Won't drain", "No heat", "Frost on back wall", "Won't start"],
        "cause": ["Defrost heater open", "Door seal torn", "Drain pump jammed", "Fan motor seized", "Thermostat stuck open"],
        "work": ["Replaced defrost heater", "Replaced door seal", "Cleared drain pump", "Replaced fan motor"],
        "status": ["Completed", "Completed", "Completed", "Declined", "Pending", "Cancelled"],
        "outcome": ["Completed", "Completed", "Part ordered", "No access", "Need part"],
        "component": ["defrost heater", "door seal", "drain pump", "evaporator fan", "thermostat"],
        "city": ["Maple St", "Oak Ave", "Ridge Rd", "Lake Dr"],
    },
    "uk": {
        "kind": ["Fridge freezer", "Washing machine", "Dishwasher", "Tumble dryer", "Freezer", "Gas hob"],
        "symptom": ["Not cooling", "Leaking water", "Not draining", "Not heating", "Icing up", "Dead"],
        "cause": ["Defrost heater o/c", "Door gasket split", "Drain pump blocked", "Fan motor seized"],
        "work": ["Fitted new defrost heater", "Fitted new gasket", "Cleared blockage", "Renewed fan motor"],
        "status": ["Complete", "Complete", "Complete", "Beyond economical repair", "Awaiting parts", "Cancelled"],
        "outcome": ["Completed", "Completed", "Part ordered", "No access"],
        "component": ["defrost heater", "door gasket", "drain pump", "fan motor"],
        "city": ["High Street", "Station Road", "Mill Lane", "Church Close"],
    },
    "de": {
        "kind": ["Kühlschrank", "Waschmaschine", "Geschirrspüler", "Trockner", "Gefrierschrank", "Backofen"],
        "symptom": ["kühlt nicht", "läuft aus", "pumpt nicht ab", "heizt nicht", "vereist", "startet nicht"],
        "cause": ["Abtauheizung defekt", "Türdichtung gerissen", "Laugenpumpe blockiert", "Lüfter fest"],
        "work": ["Abtauheizung getauscht", "Dichtung erneuert", "Pumpe gereinigt", "Lüfter getauscht"],
        "status": ["erledigt", "erledigt", "erledigt", "abgelehnt", "offen", "storniert"],
        "outcome": ["erledigt", "erledigt", "Teil bestellt", "niemand zu Hause"],
        "component": ["Abtauheizung", "Türdichtung", "Laugenpumpe", "Lüfter"],
        "city": ["Hauptstraße", "Bahnhofstr.", "Gartenweg", "Lindenallee"],
    },
    "fr": {
        "kind": ["Réfrigérateur", "Lave-linge", "Lave-vaisselle", "Sèche-linge", "Congélateur", "Four"],
        "symptom": ["ne refroidit pas", "fuite d'eau", "ne vidange pas", "ne chauffe pas", "givre"],
        "cause": ["Résistance de dégivrage coupée", "Joint de porte déchiré", "Pompe bloquée"],
        "work": ["Résistance remplacée", "Joint remplacé", "Pompe débouchée"],
        "status": ["terminé", "terminé", "terminé", "refusé", "en attente", "annulé"],
        "outcome": ["terminé", "terminé", "pièce commandée", "absent"],
        "component": ["résistance", "joint de porte", "pompe de vidange"],
        "city": ["rue de la Gare", "avenue des Lilas", "chemin du Moulin"],
    },
}  # fmt: skip
FIRST = {
    "us": ["Dana", "Rob", "Luis", "Kim", "Pat", "Erin", "Tom", "Ana", "Joel", "Meg"],
    "uk": ["Nigel", "Gemma", "Alan", "Ruth", "Owen", "Tess", "Ian", "Holly"],
    "de": ["Jürgen", "Anke", "Uwe", "Sabine", "Dirk", "Heike", "Bernd", "Ute"],
    "fr": ["Luc", "Élise", "Hugo", "Marion", "Yves", "Chloé", "Rémi"],
}
LAST = {
    "us": ["Alder", "Brook", "Cobb", "Dunn", "Easley", "Fitch", "Grady", "Hobbs", "Ingle", "Jarvis"],
    "uk": ["Ashby", "Barlow", "Crook", "Dyer", "Ellwood", "Frith", "Garside", "Hoyle"],
    "de": ["Albers", "Behrens", "Carstens", "Dörr", "Ehlers", "Fuchs", "Göbel", "Hahn"],
    "fr": ["Aubry", "Blanc", "Carpentier", "Dumas", "Étienne", "Faure", "Girard"],
}  # fmt: skip
BRANDS = ["Norvane", "Keldon", "Brightwell", "Ostra", "Tellmark"]  # invented


@dataclass
class Job:
    """One invented job; texts are in its shop's language."""

    number: int
    opened: date
    closed: date
    customer: str
    phone: str
    street: str
    email: str
    kind: str
    brand: str
    model: str
    serial: str
    symptom: str
    cause: str
    work: str
    status: str
    technician: str
    branch: str
    minutes: int
    travel: int
    labor: float
    parts: float
    lines: list[dict] = field(default_factory=list)
    visits: list[dict] = field(default_factory=list)
    readings: list[dict] = field(default_factory=list)

    @property
    def total(self) -> float:
        """The charge without tax."""
        return round(self.labor + self.parts, 2)


def jobs_of(language: str, count: int, seed: int, first_number: int = 40100) -> list[Job]:
    """Draw `count` jobs of one shop, in the order of their numbers."""
    rng = random.Random(seed)
    words = WORDS[language]
    crew = [f"{f} {n}" for f, n in zip(FIRST[language][:4], LAST[language][-4:], strict=True)]
    day = date(2025, 1, 6)
    jobs = []
    for i in range(count):
        day += timedelta(days=rng.choice([0, 0, 1, 1, 2]))
        jobs.append(_job(rng, language, words, crew, first_number + i, day))
    return jobs


def _job(
    rng: random.Random, language: str, words: dict, crew: list[str], number: int, day: date
) -> Job:
    brand = rng.choice(BRANDS)
    first, last = rng.choice(FIRST[language]), rng.choice(LAST[language])
    minutes, lines = rng.randrange(20, 150, 5), _lines(rng, words)
    job = Job(
        number=number,
        opened=day,
        closed=day + timedelta(days=rng.randrange(0, 9)),
        customer=f"{first} {last}",
        phone=_phone(rng, language),
        street=f"{rng.randrange(1, 190)} {rng.choice(words['city'])}",
        email=f"{first}.{last}@example.com".lower(),
        kind=rng.choice(words["kind"]),
        brand=brand,
        model=f"{brand[:2].upper()}{rng.randrange(10, 40)}{rng.choice('WBXS')}",
        serial=f"{rng.choice('ABCDEFGH')}{rng.randrange(10**7, 10**8)}",
        symptom=rng.choice(words["symptom"]),
        cause=rng.choice(words["cause"]),
        work=rng.choice(words["work"]),
        status=rng.choice(words["status"]),
        technician=rng.choice(crew),
        branch=rng.choice(["North", "South"]),
        minutes=minutes,
        travel=rng.randrange(5, 45),
        labor=round(45 + minutes * 1.25, 2),
        parts=round(sum(line["price"] * line["quantity"] for line in lines), 2),
        lines=lines,
    )
    job.visits = _visits(rng, words, job, crew)
    job.readings = _readings(rng)
    return job


def _lines(rng: random.Random, words: dict) -> list[dict]:
    return [
        {
            "number": f"W{rng.randrange(10100, 10130)}A",
            "component": rng.choice(words["component"]),
            "quantity": rng.choice([1, 1, 1, 2]),
            "cost": round(rng.uniform(6, 60), 2),
            "price": round(rng.uniform(18, 140), 2),
            "van": rng.random() < 0.6,
        }
        for _ in range(rng.choice([0, 1, 1, 2]))
    ]


def _visits(rng: random.Random, words: dict, job: Job, crew: list[str]) -> list[dict]:
    visits = []
    for number in range(1, rng.choice([1, 1, 1, 2]) + 1):
        start = datetime.combine(
            job.opened + timedelta(days=2 * number),
            time(rng.randrange(8, 16), rng.choice([0, 15, 40])),
        )
        minutes = rng.randrange(20, 120, 5)
        visits.append(
            {
                "number": number,
                "technician": rng.choice(crew),
                "start": start,
                "end": start + timedelta(minutes=minutes),
                "minutes": minutes,
                "travel": rng.randrange(5, 40),
                "outcome": rng.choice(words["outcome"]),
            }
        )
    return visits


def _readings(rng: random.Random) -> list[dict]:
    points = [
        ("defrost heater", 22.0, "ohms"),
        ("line volts", 118.0, "V"),
        ("fan motor", 2.1, "ohms"),
    ]
    chosen = rng.sample(points, rng.randrange(1, 4))
    return [
        {"step": i, "point": point, "value": round(value * rng.uniform(0.9, 1.1), 1), "unit": unit}
        for i, (point, value, unit) in enumerate(chosen, start=1)
    ]


def _phone(rng: random.Random, language: str) -> str:
    number = rng.randrange(1000, 9999)
    forms = {
        "us": f"(555) 01{rng.randrange(10)}-{number}",
        "uk": f"01632 96{number}",
        "de": f"030/{rng.randrange(100, 999)}{number}",
        "fr": f"01 99 00 {number // 100:02d} {number % 100:02d}",
    }
    return forms[language]
