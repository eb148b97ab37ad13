"""Three invented shops' exports of invoice lines, with the recount of each in pandas.

Two spellings of each technician, types of lines that no list has, foreign headers, notes as typed.
"""

import csv
import random
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import pandas as pd

Row = dict[str, str]


@dataclass(frozen=True)
class Shop:
    """One shop's habits: its headers in order, the words of its lines, how it writes."""

    name: str
    headers: dict[str, str]  # what it is → its header
    types: dict[str, str]  # labor, part, … → the shop's word
    crew: dict[str, tuple[str, str]]  # a technician's name → two spellings
    kinds: tuple[str, ...]
    complaints: tuple[str, ...]  # of the kind at the same place
    parts: tuple[str, ...]
    notes: tuple[str, ...]
    status: str
    day: str  # strftime
    money: Callable[[float], str]
    hours: Callable[[float], str]
    delimiter: str = ","


def us_money(amount: float) -> str:
    """Write $1,234.50, a negative amount in brackets."""
    return f"(${-amount:,.2f})" if amount < 0 else f"${amount:,.2f}"


def de_money(amount: float) -> str:
    """Write 1.234,50 €."""
    return f"{amount:,.2f} €".replace(",", "'").replace(".", ",").replace("'", ".")


def fr_money(amount: float) -> str:
    """Write 1 234,50."""
    return f"{amount:,.2f}".replace(",", " ").replace(".", ",")


US = Shop(
    "us",
    {
        "job": "Inv #", "day": "Inv Dt", "customer": "Bill-To Acct", "kind": "Equip",
        "brand": "Mfr", "complaint": "Cust Complaint", "tech": "Tech", "status": "Stat",
        "type": "Ln Type", "item": "Item No", "text": "Ln Desc", "quantity": "Qty",
        "price": "Unit Pr", "amount": "Ext Amt", "time": "Lbr Hrs", "note": "Tech Notes",
    },
    {
        "labor": "LBR", "part": "PRTS", "trip": "TRVL", "fee": "SHOP SUPP", "discount": "DSCT",
        "tax": "TX",
    },
    {"Dana Easley": ("Dana Easley", "Easley, D."), "Luis Hobbs": ("Luis Hobbs", "L. Hobbs")},
    ("Refrigerator", "Freezer", "Dishwasher"),
    ("freezer cold fridge warm", "not cooling", "leaking"),
    ("defrost heater", "door seal", "drain pump"),
    ("defrost htr OL, line 118 V", "htr 21.5 ohms, fan ok", "cust not home 1st try"),
    "Paid", "%m/%d/%Y", us_money, lambda hours: f"{hours:.2f}" if hours else "",
)  # fmt: skip
DE = Shop(
    "de",
    {
        "job": "Rechnungsnr.", "day": "Rechnungsdatum", "customer": "Kundennr.",
        "kind": "Gerät", "brand": "Hersteller", "complaint": "Beanstandung",
        "tech": "Monteur", "status": "Status", "type": "Positionsart", "item": "Artikelnr.",
        "text": "Bezeichnung", "quantity": "Menge", "price": "Einzelpreis",
        "amount": "Gesamtpreis", "time": "Arbeitszeit (Std)", "note": "Bemerkungen",
    },
    {
        "labor": "Arb.", "part": "Ersatzteil", "trip": "Anfahrtspauschale", "fee": "Sonst.",
        "discount": "Rabatt 5%", "tax": "MwSt",
    },
    {"Anke Behrens": ("Anke Behrens", "Behrens, A."), "Uwe Fuchs": ("Uwe Fuchs", "U. Fuchs")},
    ("Kühlschrank", "Gefrierschrank", "Waschmaschine"),
    ("kühlt nicht", "vereist", "läuft aus"),
    ("Abtauheizung", "Türdichtung", "Laugenpumpe"),
    ("Abtauheizung 22,4 Ohm, Netz 231 V", "Heizung OL", "Kunde wünscht Rückruf"),
    "bezahlt", "%d.%m.%Y", de_money, lambda hours: f"{hours:.2f}".replace(".", ",") if hours else "",
    ";",
)  # fmt: skip
FR = Shop(
    "fr",
    {
        "job": "N° facture", "day": "Date facture", "customer": "Code client",
        "kind": "Appareil", "brand": "Marque", "complaint": "Panne signalée",
        "tech": "Technicien", "status": "Statut", "type": "Type de ligne",
        "item": "Référence", "text": "Désignation", "quantity": "Quantité",
        "price": "Prix unitaire", "amount": "Montant HT", "time": "Durée (min)",
        "note": "Observations",
    },
    {
        "labor": "MO atelier", "part": "Pièce", "trip": "Dépl.", "fee": "Frais divers",
        "discount": "Remise", "tax": "TVA",
    },
    {"Élise Dumas": ("Élise Dumas", "DUMAS Élise"), "Yves Faure": ("Yves Faure", "Y. Faure")},
    ("Réfrigérateur", "Congélateur", "Lave-linge"),
    ("ne refroidit pas", "givre", "fuite d'eau"),
    ("résistance de dégivrage", "joint de porte", "pompe de vidange"),
    ("résistance de dégivrage 21,8 ohms", "secteur 229 V, résistance OL", "client absent"),
    "terminé", "%d/%m/%Y", fr_money, lambda hours: f"{hours * 60:.0f}" if hours else "",
    ";",
)  # fmt: skip
SHOPS = {shop.name: shop for shop in (US, DE, FR)}


def write(shop: Shop, path: Path, jobs: int = 60, seed: int = 5) -> Path:
    """Write the export of one shop."""
    rng = random.Random(f"{shop.name}{seed}")
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(shop.headers.values()), delimiter=shop.delimiter)
        writer.writeheader()
        for number in range(jobs):
            writer.writerows(_invoice(shop, rng, number))
    return path


def _invoice(shop: Shop, rng: random.Random, number: int) -> list[Row]:
    h = shop.headers
    name, place = rng.choice(list(shop.crew)), rng.randrange(3)
    head = {
        h["job"]: f"{30500 + number}",
        h["day"]: (date(2025, 2, 3) + timedelta(days=2 * number)).strftime(shop.day),
        h["customer"]: f"C{rng.randrange(10, 60)}",
        h["kind"]: shop.kinds[place],
        h["brand"]: rng.choice(("Norvane", "Keldon")),
        h["complaint"]: shop.complaints[place],
        h["tech"]: shop.crew[name][rng.random() < 0.3],
        h["status"]: shop.status,
    }
    return [head | line for line in _lines(shop, rng)]


def _lines(shop: Shop, rng: random.Random) -> list[Row]:
    hours = rng.choice([0.25, 0.5, 0.75, 1.25, 1.5, 2.0])
    lines = [
        _line(shop, "labor", "", 1, 95 * hours, hours)
        | {shop.headers["note"]: rng.choice(shop.notes)}
    ]
    lines.append(_line(shop, "trip", "", 1, 49.5, rng.choice([0.25, 0.5])))
    for _ in range(rng.choice([0, 1, 2])):
        part = f"PN-{rng.randrange(100, 120)}"
        lines.append(
            _line(shop, "part", part, rng.choice([1, 2, 3]), rng.randrange(900, 130_000) / 100)
        )
    if rng.random() < 0.4:
        lines.append(_line(shop, "discount", "", 1, -rng.randrange(500, 3000) / 100))
    if rng.random() < 0.5:
        lines.append(_line(shop, "fee", "", 1, 4.95))
    lines.append(_line(shop, "tax", "", 1, rng.randrange(300, 3000) / 100))
    return lines  # fmt: skip


def _line(shop: Shop, kind: str, item: str, quantity: int, price: float, hours: float = 0.0) -> Row:
    h = shop.headers
    price = round(price, 2)
    return {
        h["type"]: shop.types[kind],
        h["item"]: item,
        h["text"]: shop.parts[int(item[-1]) % 3] if item else shop.types[kind],
        h["quantity"]: str(quantity),
        h["price"]: shop.money(price),
        h["amount"]: shop.money(round(quantity * price, 2)),
        h["time"]: shop.hours(hours),
    }


def recount(shop: Shop, path: Path) -> pd.DataFrame:
    """Sum every money and minute column by invoice, with nothing of the project's code."""
    lines = pd.read_csv(path, sep=shop.delimiter, dtype=str, keep_default_na=False)
    h = {what: lines[header] for what, header in shop.headers.items()}
    amount = h["amount"].map(lambda text: _cents(text, shop))
    minutes = h["time"].str.replace(",", ".").replace("", "0").astype(float)
    minutes *= 1 if shop.name == "fr" else 60

    def total(values: pd.Series, *kinds: str) -> pd.Series:
        words = [shop.types[kind] for kind in kinds]
        chosen = h["type"].isin(words)
        return values[chosen].groupby(h["job"][chosen]).sum()

    return pd.DataFrame(
        {
            "charged": total(amount, "labor", "part", "trip", "fee", "discount"),
            "labour_charged": total(amount, "labor"),
            "parts_charged": total(amount, "part"),
            "tax": total(amount, "tax"),
            "labour_min": total(minutes, "labor"),
            "travel_min": total(minutes, "trip"),
        }
    ).fillna(0.0)


def _cents(text: str, shop: Shop) -> float:
    sign = -1 if text.startswith(("(", "-")) else 1
    digits = "".join(c for c in text if c.isdigit())
    assert digits and text.rstrip(" €)")[-3] in ".,", (text, shop.name)
    return sign * int(digits) / 100
