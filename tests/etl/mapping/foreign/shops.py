"""Five invented shops' exports, each of another kind, written from the same facts.

UK: one flat file, net, VAT and gross. FR: invoice lines whose labor stands in the quantity, with VAT
on each line. DE: a workbook with a title, a header of two rows and monthly sums. US: a nested JSON,
and a second US shop with tickets, a time sheet and a file of parts.
"""

import csv
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl

from tests.etl.mapping.foreign.facts import Job, jobs


@dataclass(frozen=True)
class Shop:
    """A shop's name, its crew by their two spellings, and what writes its files."""

    name: str
    crew: dict[str, str]
    places: int
    write: Callable[["Shop", Path, list[Job]], list[Path]]
    most_visits: int = 1

    def jobs(self) -> list[Job]:
        return jobs(self.name[:2], sorted(self.crew), self.places, most_visits=self.most_visits)

    def spelled(self, job: Job) -> str:
        return self.crew[job.technician] if job.is_respelled else job.technician


def _euro(cents: int) -> str:
    return f"{cents / 100:,.2f}".replace(",", " ").replace(".", ",").replace(" ", ".")


def _clock(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02d}"


UK_WORDS = (
    ("Gas Hob", "Gas", "Ignition keeps clicking", "Spark switch stuck", "Completed"),
    ("Cooker", "Electric", "Oven not heating", "Bake element o/c", "Completed"),
    ("Fridge Freezer", "Electric", "Freezer ok but fridge warm", "Evap fan seized", "Completed"),
    ("Tumble Dryer", "Electric", "Squealing", "Drum bearing worn", "BER"),
    ("Washing Machine", "Electric", "Not draining", "Pump blocked", "Completed"),
    ("Cooker", "Gas", "Oven won't light", "Weak ignitor", "Customer declined"),
)
UK_NOTES = (
    "Supply 238 V / element OL",
    "FF temp 11 C, FZ -19 C",
    "Rang first, neighbour let us in",
    "",
)


def write_uk(shop: Shop, folder: Path, drawn: list[Job]) -> list[Path]:
    """Write one row for each job: 01/02/2025, £1,234.50, minutes as h:mm."""
    path = folder / "Job history export.csv"
    head = ["Job Ref", "Logged", "Completed", "Engineer", "Cust A/C", "Postcode", "Appliance",
            "Gas/Elec", "Make", "Fault Reported", "Fault Found", "Job Status", "Time on Site (h:mm)",
            "Travel (mins)", "Labour", "Parts", "Net", "VAT", "Gross", "Parts Fitted",
            "Engineer Notes"]  # fmt: skip
    with path.open("w", encoding="cp1252", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(head)
        for job in drawn:
            kind, fuel, fault, found, status = UK_WORDS[job.place]
            cost = [job.labor + job.trip - job.discount, job.of_parts, job.net, job.tax]
            fitted = "; ".join(f"{no} x {n}" for no, _, n, _ in job.parts)
            writer.writerow(
                [job.number, f"{job.opened:%d/%m/%Y}", f"{job.closed:%d/%m/%Y}", shop.spelled(job),
                 job.customer, f"LS{job.number % 9 + 1} {job.number % 7 + 1}AB", kind, fuel,
                 ("Norvane", "Keldon")[job.number % 2], fault, found, status, _clock(job.minutes),
                 job.travel, *(f"£{c / 100:,.2f}" for c in (*cost, job.net + job.tax)), fitted,
                 UK_NOTES[job.number % 4]]
            )  # fmt: skip
    return [path]


FR_WORDS = (
    ("Lave-linge", "ne vidange plus", "pompe de vidange HS", "Terminé"),
    ("Réfrigérateur", "le frigo est chaud mais le congélateur marche", "ventilateur HS", "Terminé"),
    ("Lave-vaisselle", "fuite d'eau", "joint de porte usé", "Terminé"),
    ("Congélateur", "trop de givre", "résistance de dégivrage coupée", "Refusé"),
)
FR_PARTS = ("pompe de vidange", "joint de porte", "résistance de dégivrage")


def write_fr(shop: Shop, folder: Path, drawn: list[Job]) -> list[Path]:
    """Write several lines for each invoice; the hours of labor are its quantity, at a rate."""
    path = folder / "lignes_factures.csv"
    head = ["N° Facture", "Date Facture", "Code Client", "CP", "Ville", "Appareil", "Panne",
            "Diagnostic", "État", "Intervenant", "Nature", "Réf. article", "Texte", "Qté", "P.U. HT",
            "Total HT", "TVA", "Total TTC"]  # fmt: skip
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow(head)
        for job in drawn:
            kind, fault, found, status = FR_WORDS[job.place]
            start = [f"F{job.number}", f"{job.closed:%d/%m/%Y}", job.customer, "69003", "Lyon", kind,
                     fault, found, status, shop.spelled(job)]  # fmt: skip
            writer.writerows([*start, *line] for line in _fr_lines(job))
    return [path]


def line_tax(cents: int, rate: float) -> int:
    """Return the tax of one line: a shop that taxes lines rounds each."""
    return round(cents * rate)


def _fr_lines(job: Job) -> list[list[str]]:
    lines = [("Main d'œuvre", "", "Réparation sur place", job.minutes / 60, 8400)]
    lines.append(("Déplacement", "", "Zone 1", 1, job.trip))
    lines += [("Pièce", no, FR_PARTS[n], count, price) for no, n, count, price in job.parts]
    if job.discount:
        lines.append(("Remise", "", "Geste commercial", 1, -job.discount))
    written = []
    for nature, no, text, quantity, price in lines:
        net = round(quantity * price)
        tax = line_tax(net, job.rate)
        count = f"{quantity:g}".replace(".", ",")
        amounts = [_euro(cents) for cents in (price, net, tax, net + tax)]
        written.append([nature, no, text, count, *amounts])
    return written


DE_WORDS = (
    ("Waschmaschine", "pumpt nicht ab", "Laugenpumpe defekt", "erledigt"),
    ("Kühlgerät", "kühlt nicht mehr", "Verdampferlüfter defekt", "erledigt"),
    ("Geschirrspüler", "läuft aus", "Türdichtung porös", "erledigt"),
    ("E-Herd", "Backofen heizt nicht", "Unterhitze durchgebrannt", "abgelehnt"),
)


def write_de(shop: Shop, folder: Path, drawn: list[Job]) -> list[Path]:
    """Write a workbook: title, header in two rows with joined cells, a sum after each month."""
    path = folder / "Auftragsliste 2025.xlsx"
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Aufträge"
    page.append(["Auftragsliste Musterbetrieb (erfunden)"])
    page.append([])
    page.append(["Auftrag", None, None, "Kunde", None, "Gerät", None, "Bearbeitung", None, None,
                 None, "Zeit", None, "Betrag", None, None, None, None])  # fmt: skip
    page.append(["Nr.", "Eingang", "Abschluss", "Nr.", "PLZ", "Art", "Marke", "Meldung", "Befund",
                 "Monteur", "Status", "Arbeit (Std)", "Fahrt (Min)", "Material", "Lohn", "Netto",
                 "MwSt", "Brutto"])  # fmt: skip
    for start, end in ((1, 3), (4, 5), (6, 7), (8, 11), (12, 13), (14, 18)):
        page.merge_cells(start_row=3, start_column=start, end_row=3, end_column=end)
    month: list[Job] = []
    for job in drawn:
        if month and month[0].opened.month != job.opened.month:
            page.append(_de_sum(month))
            month = []
        month.append(job)
        page.append(_de_row(shop, job))
    page.append(_de_sum(month))
    book.save(path)
    return [path]


def _de_row(shop: Shop, job: Job) -> list[Any]:
    kind, fault, found, status = DE_WORDS[job.place]
    money = [job.of_parts, job.net - job.of_parts, job.net, job.tax, job.net + job.tax]
    return [job.number, job.opened, job.closed, job.customer, "50667", kind, "Keldon", fault, found,
            shop.spelled(job), status, job.minutes / 60, job.travel, *(c / 100 for c in money)]  # fmt: skip


def _de_sum(month: list[Job]) -> list[Any]:
    name = f"Summe {month[0].opened:%m/%Y}"
    blank = [None] * 10
    return [name, *blank, sum(j.minutes for j in month) / 60, sum(j.travel for j in month),
            sum(j.of_parts for j in month) / 100, sum(j.net - j.of_parts for j in month) / 100,
            sum(j.net for j in month) / 100, sum(j.tax for j in month) / 100,
            sum(j.net + j.tax for j in month) / 100]  # fmt: skip


US_WORDS = (
    (
        "Side by Side",
        "fridge warm freezer ok",
        "evap fan bad",
        "Completed",
        "evap fan 0.3 VDC / ff 54F",
    ),
    ("Dishwasher", "won't drain", "drain pump bad", "Completed", "drain pump OL / 120V at plug"),
    ("Top Load Washer", "won't spin", "lid switch failed", "Completed", "lid switch OL"),
    ("Range", "oven not heating", "bake element open", "Declined", "bake OL / broil 24 ohms"),
)
US_PARTS = ("evaporator fan", "drain pump", "bake element")


def write_us_nested(shop: Shop, folder: Path, drawn: list[Job]) -> list[Path]:
    """Write a JSON whose jobs hold visits, parts and readings."""
    path = folder / "service_records.json"
    records = [_us_record(shop, job) for job in drawn]
    path.write_text(json.dumps({"exported": "2026-01-05", "workOrders": records}), encoding="utf-8")
    return [path]


def _us_record(shop: Shop, job: Job) -> dict[str, Any]:
    kind, fault, found, status, _ = US_WORDS[job.place]
    trips = [
        {"visitNo": n, "tech": shop.spelled(job), "arrived": f"{start:%Y-%m-%dT%H:%M}",
         "minutesOnSite": minutes, "driveMinutes": travel,
         "result": "completed" if n == len(job.visits) else "part ordered"}
        for n, (start, minutes, travel) in enumerate(job.visits, 1)
    ]  # fmt: skip
    return {
        "woNumber": job.number, "openedOn": f"{job.opened:%Y-%m-%d}",
        "closedOn": f"{job.closed:%Y-%m-%d}", "accountNo": job.customer,
        "appliance": {"type": kind, "make": "Norvane", "modelNo": f"NV-{job.place}40"},
        "complaint": fault, "diagnosis": found, "status": status,
        "billing": {"labor": f"{(job.net - job.of_parts) / 100:.2f}",
                    "parts": f"{job.of_parts / 100:.2f}", "total": f"{job.net / 100:.2f}"},
        "visits": trips,
        "parts": [{"partNumber": no, "name": US_PARTS[n], "qty": count, "priceEach": f"{price / 100:.2f}"}
                  for no, n, count, price in job.parts],
        "readings": [{"testPoint": "line voltage", "value": f"{117 + job.number % 6}", "unit": "V"}],
    }  # fmt: skip


def write_us_sheets(shop: Shop, folder: Path, drawn: list[Job]) -> list[Path]:
    """Write tickets, a time sheet with a row for each trip, and the parts used."""
    tickets, times, parts = (folder / f"{n}.csv" for n in ("tickets", "timesheet", "parts used"))
    with tickets.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["Ticket", "Taken", "Finished", "Acct", "ZIP", "Unit", "Problem", "Found",
                         "Dispo", "Subtotal", "Tax Rate", "Invoice Total", "Notes"])  # fmt: skip
        for job in drawn:
            kind, fault, found, status, note = US_WORDS[job.place]
            writer.writerow([job.number, f"{job.opened:%m/%d/%y}", f"{job.closed:%m/%d/%y}",
                             job.customer, "44118", kind, fault, found, status, f"{job.net / 100:,.2f}",
                             "0%", f"{job.net / 100:,.2f}", note])  # fmt: skip
    with times.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["Date", "Tech", "Ticket", "In", "Hrs on Job", "Drive Hrs"])
        for job in drawn:
            for start, minutes, travel in job.visits:
                writer.writerow([f"{start:%m/%d/%y}", shop.spelled(job), job.number, f"{start:%H:%M}",
                                 f"{minutes / 60:.2f}", f"{travel / 60:.4f}"])  # fmt: skip
    with parts.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["Ticket", "Part #", "Desc", "Qty", "Sell", "Off truck"])
        for job in drawn:
            writer.writerows([job.number, no, US_PARTS[n], count, f"{price / 100:.2f}", "Y"]
                             for no, n, count, price in job.parts)  # fmt: skip
    return [tickets, times, parts]


CREW = {
    "uk": {"Pete Whitlock": "P. Whitlock", "Siân Rowe": "Rowe, Siân"},
    "fr": {"Amélie Joubert": "JOUBERT Amélie", "Denis Marchal": "D. Marchal"},
    "de": {"Silke Drewes": "Drewes, Silke", "Olaf Tietz": "O. Tietz"},
    "us": {"Marcy Doyle": "Doyle, M.", "Ken Abrams": "K Abrams"},
}
SHOPS = {
    "uk": Shop("uk", CREW["uk"], 6, write_uk),
    "fr": Shop("fr", CREW["fr"], 4, write_fr),
    "de": Shop("de", CREW["de"], 4, write_de),
    "us_nested": Shop("us_nested", CREW["us"], 4, write_us_nested, 3),
    "us_sheets": Shop("us_sheets", CREW["us"], 4, write_us_sheets, 3),
}
