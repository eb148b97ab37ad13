"""Ten other exports, written after the proposals were made: what they say of files not seen."""

import json
from pathlib import Path

from tests.etl.mapping.exports.draw import jobs_of
from tests.etl.mapping.exports.write import Export, Truth, book, comma, csv_file, sheet, truth


def us_office(folder: Path) -> list[Truth]:
    """A US office's export, one row for each job, with columns that are not needed here."""
    columns = [
        ("Work Order Number", "job_id", lambda j: f"{j.number}-1"),
        ("Entry Date", "opened_on", lambda j: f"{j.opened:%b %d, %Y}"),
        ("Completion Date", "closed_on", lambda j: f"{j.closed:%b %d, %Y}"),
        ("Account", "customer", lambda j: j.customer),
        ("Best Phone", "customer|", lambda j: j.phone),
        ("Service Address", "customer|", lambda j: j.street),
        ("E-mail", "customer|", lambda j: j.email),
        ("Product Type", "appliance_kind", lambda j: j.kind),
        ("Make", "brand", lambda j: j.brand),
        ("Model #", "model", lambda j: j.model),
        ("Serial #", "serial", lambda j: j.serial),
        ("Reason for Call", "symptom", lambda j: j.symptom),
        ("Tech Findings", "root_cause", lambda j: j.cause),
        ("Resolution", "repair_code", lambda j: j.work),
        ("Assigned Tech", "technician", lambda j: j.technician),
        ("WO Status", "disposition", lambda j: j.status),
        ("On-site Minutes", "minutes_on_job", lambda j: j.minutes),
        ("Parts Subtotal", "parts_charged", lambda j: f"${j.parts:,.2f}"),
        ("Labor Subtotal", "labour_charged", lambda j: f"${j.labor:,.2f}"),
        ("Sales Tax", "|tax", lambda j: f"${j.total * 0.07:,.2f}"),
        ("Grand Total", "charged", lambda j: f"${j.total * 1.07:,.2f}"),
        ("Taken by", "|", lambda j: "Front desk"),
    ]
    csv_file(folder / "wo.csv", columns, jobs_of("us", 210, 21, 7000))
    return [truth("wo.csv", "jobs", columns)]


def us_item_lines(folder: Path) -> list[Truth]:
    """Lines of tickets, tab separated."""
    columns = [
        ("TicketID", "job_id", lambda r: r[0].number),
        ("LineSeq", "", lambda r: 1),
        ("SKU", "part_no", lambda r: r[1]["number"]),
        ("ItemDesc", "component", lambda r: r[1]["component"]),
        ("QtyUsed", "quantity", lambda r: r[1]["quantity"]),
        ("UnitCost", "unit_cost", lambda r: f"{r[1]['cost']:.2f}"),
        ("UnitPrice", "unit_charge", lambda r: f"{r[1]['price']:.2f}"),
        ("FromTruck", "from_van", lambda r: "true" if r[1]["van"] else "false"),
    ]
    rows = [(job, line) for job in jobs_of("us", 90, 22) for line in job.lines]
    csv_file(folder / "lines.tsv", columns, rows, "\t")
    return [truth("lines.tsv", "part_lines", columns)]


def uk_sheet(folder: Path) -> list[Truth]:
    """A UK shop's hand-kept sheet."""
    columns = [
        ("Docket", "job_id", lambda j: j.number),
        ("Call Date", "opened_on", lambda j: j.opened),
        ("Date Finished", "closed_on", lambda j: j.closed),
        ("Client Name", "customer", lambda j: j.customer),
        ("Mobile", "customer|", lambda j: j.phone),
        ("Machine", "appliance_kind", lambda j: j.kind),
        ("Manufacturer", "brand", lambda j: j.brand),
        ("Complaint", "symptom", lambda j: j.symptom),
        ("Engineer's Diagnosis", "root_cause", lambda j: j.cause),
        ("Remedy", "repair_code", lambda j: j.work),
        ("Engineer", "technician", lambda j: j.technician),
        ("State", "disposition", lambda j: j.status),
        ("Hrs", "minutes_on_job", lambda j: round(j.minutes / 60, 2)),
        ("Labour ex VAT", "labour_charged", lambda j: j.labor),
        ("Spares ex VAT", "parts_charged", lambda j: j.parts),
        ("Invoice Value", "charged", lambda j: j.total),
    ]
    made = book()
    below = [["Totals", *[None] * 12, 9000, 8000, 17000], ["checked by the office"]]
    above = [["Repairs 2025 (invented shop)"]]
    sheet(made, "Sheet1", columns, jobs_of("uk", 130, 23), above, below)
    made.save(folder / "repairs.xlsx")
    return [truth("repairs.xlsx", "jobs", columns, "Sheet1")]


def uk_time_sheet(folder: Path) -> list[Truth]:
    """A UK time sheet with clock times."""
    columns = [
        ("Eng", "technician", lambda r: r[1]["technician"]),
        ("Job", "job_id", lambda r: r[0].number),
        ("Visit", "visit_no", lambda r: r[1]["number"]),
        ("Arrived on Site", "arrived_at", lambda r: f"{r[1]['start']:%d/%m/%Y %H:%M}"),
        ("Left Site", "left_at", lambda r: f"{r[1]['end']:%d/%m/%Y %H:%M}"),
        ("Journey Time", "travel_minutes", lambda r: f"{r[1]['travel']} mins"),
        ("Visit Result", "outcome", lambda r: r[1]["outcome"]),
    ]
    rows = [(job, visit) for job in jobs_of("uk", 70, 24) for visit in job.visits]
    csv_file(folder / "times.csv", columns, rows)
    return [truth("times.csv", "visits", columns)]


def de_workshop(folder: Path) -> list[Truth]:
    """A German workshop's list, UTF-8 with title lines."""
    columns = [
        ("Vorgangsnummer", "job_id", lambda j: f"V{j.number}"),
        ("Eingangsdatum", "opened_on", lambda j: f"{j.opened:%d.%m.%Y}"),
        ("Fertigstellung", "closed_on", lambda j: f"{j.closed:%d.%m.%Y}"),
        ("Filiale", "branch", lambda j: j.branch),
        ("Kundenname", "customer", lambda j: j.customer),
        ("Tel.-Nr.", "customer|", lambda j: j.phone),
        ("E-Mail-Adresse", "customer|", lambda j: j.email),
        ("Geräteart", "appliance_kind", lambda j: j.kind),
        ("Fabrikat", "brand", lambda j: j.brand),
        ("Modellbezeichnung", "model", lambda j: j.model),
        ("Beanstandung", "symptom", lambda j: j.symptom),
        ("Befund", "root_cause", lambda j: j.cause),
        ("Durchgeführte Maßnahme", "repair_code", lambda j: j.work),
        ("Techniker", "technician", lambda j: j.technician),
        ("Auftragsstatus", "disposition", lambda j: j.status),
        ("Std.", "minutes_on_job", lambda j: comma(j.minutes / 60)),
        ("Arbeitslohn €", "labour_charged", lambda j: comma(j.labor)),
        ("Ersatzteile €", "parts_charged", lambda j: comma(j.parts)),
        ("Rechnungsbetrag €", "charged", lambda j: comma(j.total)),
    ]
    above = [["Werkstattliste (erfundener Betrieb)"], [], ["Stand: 31.12.2025"]]
    csv_file(folder / "liste.csv", columns, jobs_of("de", 160, 25), ";", "utf-8-sig", above)
    return [truth("liste.csv", "jobs", columns)]


def de_parts(folder: Path) -> list[Truth]:
    """A German list of fitted parts and one of trips, in one workbook."""
    parts = [
        ("Auftrags-Nr.", "job_id", lambda r: r[0].number),
        ("Artikelnummer", "part_no", lambda r: r[1]["number"]),
        ("Bezeichnung", "component", lambda r: r[1]["component"]),
        ("Menge", "quantity", lambda r: r[1]["quantity"]),
        ("EK", "unit_cost", lambda r: r[1]["cost"]),
        ("VK", "unit_charge", lambda r: r[1]["price"]),
    ]
    trips = [
        ("Auftrags-Nr.", "job_id", lambda r: r[0].number),
        ("Monteur", "technician", lambda r: r[1]["technician"]),
        ("Ankunft", "arrived_at", lambda r: r[1]["start"]),
        ("Abfahrt", "left_at", lambda r: r[1]["end"]),
        ("Fahrtzeit (Min.)", "travel_minutes", lambda r: r[1]["travel"]),
        ("Ergebnis", "outcome", lambda r: r[1]["outcome"]),
    ]
    jobs = jobs_of("de", 80, 26)
    made = book()
    sheet(made, "Teile", parts, [(j, line) for j in jobs for line in j.lines])
    sheet(made, "Einsätze", trips, [(j, visit) for j in jobs for visit in j.visits])
    made.save(folder / "kundendienst.xlsx")
    return [
        truth("kundendienst.xlsx", "part_lines", parts, "Teile"),
        truth("kundendienst.xlsx", "visits", trips, "Einsätze"),
    ]


def fr_workshop(folder: Path) -> list[Truth]:
    """A French workshop's export, Windows-1252."""
    columns = [
        ("N° de dossier", "job_id", lambda j: j.number),
        ("Date de réception", "opened_on", lambda j: f"{j.opened:%d/%m/%Y}"),
        ("Date de fin", "closed_on", lambda j: f"{j.closed:%d/%m/%Y}"),
        ("Nom du client", "customer", lambda j: j.customer),
        ("Téléphone", "customer|", lambda j: j.phone),
        ("Adresse", "customer|", lambda j: j.street),
        ("Type d'appareil", "appliance_kind", lambda j: j.kind),
        ("Marque", "brand", lambda j: j.brand),
        ("Réf. modèle", "model", lambda j: j.model),
        ("Symptôme", "symptom", lambda j: j.symptom),
        ("Cause", "root_cause", lambda j: j.cause),
        ("Réparation effectuée", "repair_code", lambda j: j.work),
        ("Intervenant", "technician", lambda j: j.technician),
        ("État", "disposition", lambda j: j.status),
        ("Temps passé (min)", "minutes_on_job", lambda j: j.minutes),
        ("MO HT", "labour_charged", lambda j: comma(j.labor)),
        ("Fournitures HT", "parts_charged", lambda j: comma(j.parts)),
        ("Total TTC", "charged", lambda j: comma(j.total * 1.2, " €")),
    ]
    csv_file(folder / "atelier.csv", columns, jobs_of("fr", 95, 27), ";", "cp1252")
    return [truth("atelier.csv", "jobs", columns)]


def nested_lines(folder: Path) -> list[Truth]:
    """JSON Lines with nested visits that hold the parts."""
    lines = []
    for job in jobs_of("us", 45, 28):
        visits = [
            {
                "technicianName": v["technician"],
                "startTime": v["start"].isoformat(),
                "minutesOnSite": v["minutes"],
                "outcome": v["outcome"],
                "partsUsed": [
                    {"partNumber": p["number"], "quantity": p["quantity"], "unitCost": p["cost"]}
                    for p in (job.lines if v["number"] == 1 else [])
                ],
            }
            for v in job.visits
        ]
        record = {
            "jobId": f"J{job.number}", "openedAt": f"{job.opened}", "closedAt": f"{job.closed}",
            "appliance": {"category": job.kind, "manufacturer": job.brand, "modelNumber": job.model},
            "client": {"fullName": job.customer, "email": job.email},
            "reportedProblem": job.symptom, "rootCause": job.cause, "jobStatus": job.status,
            "totalAmount": job.total, "visits": visits,
        }  # fmt: skip
        lines.append(json.dumps(record))
    (folder / "dump.jsonl").write_text("\n".join(lines), encoding="utf-8")
    jobs = {
        "jobId": "job_id", "openedAt": "opened_on", "closedAt": "closed_on",
        "appliance.category": "appliance_kind", "appliance.manufacturer": "brand",
        "appliance.modelNumber": "model", "client.fullName": "customer", "client.email": "customer|",
        "reportedProblem": "symptom", "rootCause": "root_cause", "jobStatus": "disposition",
        "totalAmount": "charged",
    }  # fmt: skip
    visits = {
        "jobId": "job_id", "visits.technicianName": "technician",
        "visits.startTime": "arrived_at", "visits.minutesOnSite": "minutes_on_job",
        "visits.outcome": "outcome",
    }  # fmt: skip
    parts = {
        "jobId": "job_id", "visits.partsUsed.partNumber": "part_no",
        "visits.partsUsed.quantity": "quantity", "visits.partsUsed.unitCost": "unit_cost",
    }  # fmt: skip
    return [
        Truth("dump.jsonl", "records", "jobs", jobs),
        Truth("dump.jsonl", "visits", "visits", visits),
        Truth("dump.jsonl", "visits.partsUsed", "part_lines", parts),
    ]


def monthly_fr(folder: Path) -> list[Truth]:
    """Two months of a French shop, terse headers."""
    columns = [
        ("Bon", "job_id", lambda j: j.number),
        ("Reçu le", "opened_on", lambda j: f"{j.opened:%d/%m/%y}"),
        ("Terminé le", "closed_on", lambda j: f"{j.closed:%d/%m/%y}"),
        ("Matériel", "appliance_kind", lambda j: j.kind),
        ("Défaut signalé", "symptom", lambda j: j.symptom),
        ("Constat", "root_cause", lambda j: j.cause),
        ("Dépanneur", "technician", lambda j: j.technician),
        ("Résultat", "disposition", lambda j: j.status),
        ("Nb passages", "visit_count", lambda j: len(j.visits)),
        ("Durée (h)", "minutes_on_job", lambda j: comma(j.minutes / 60)),
        ("Trajet", "travel_minutes", lambda j: f"{j.travel} min"),
        ("Montant", "charged", lambda j: comma(j.total)),
    ]
    jobs = jobs_of("fr", 90, 29)
    csv_file(folder / "2025-01.csv", columns, jobs[:45], ";")
    csv_file(folder / "2025-02.csv", columns, jobs[45:], ";")
    return [truth(f"2025-0{n}.csv", "jobs", columns) for n in (1, 2)]


def us_bench(folder: Path) -> list[Truth]:
    """A bench shop's readings and jobs in one workbook, headers in capitals."""
    jobs = [
        ("REPAIR ID", "job_id", lambda j: f"B{j.number}"),
        ("DATE RECEIVED", "opened_on", lambda j: j.opened),
        ("DATE OUT", "closed_on", lambda j: j.closed),
        ("UNIT TYPE", "appliance_kind", lambda j: j.kind),
        ("BRAND", "brand", lambda j: j.brand),
        ("MODEL NUMBER", "model", lambda j: j.model),
        ("SERIAL NUMBER", "serial", lambda j: j.serial),
        ("CUST STATES", "symptom", lambda j: j.symptom),
        ("FAULT FOUND", "root_cause", lambda j: j.cause),
        ("REPAIRED BY", "technician", lambda j: j.technician),
        ("DISPOSITION", "disposition", lambda j: j.status),
        ("BENCH TIME (MIN)", "minutes_on_job", lambda j: j.minutes),
        ("INVOICE AMT", "charged", lambda j: j.total),
    ]
    readings = [
        ("REPAIR ID", "job_id", lambda r: f"B{r[0].number}"),
        ("SEQ", "seq", lambda r: r[1]["step"]),
        ("TEST POINT", "test_point", lambda r: r[1]["point"]),
        ("MEASURED VALUE", "value", lambda r: r[1]["value"]),
        ("UNITS", "unit", lambda r: r[1]["unit"]),
    ]
    drawn = jobs_of("us", 60, 30)
    made = book()
    sheet(made, "REPAIRS", jobs, drawn)
    sheet(made, "TESTS", readings, [(j, r) for j in drawn for r in j.readings])
    made.save(folder / "bench.xlsx")
    return [
        truth("bench.xlsx", "jobs", jobs, "REPAIRS"),
        truth("bench.xlsx", "readings", readings, "TESTS"),
    ]


EXPORTS = [
    Export("us_office", us_office),
    Export("us_item_lines", us_item_lines),
    Export("uk_sheet", uk_sheet),
    Export("uk_time_sheet", uk_time_sheet, "DMY"),
    Export("de_workshop", de_workshop, "DMY", ","),
    Export("de_parts", de_parts),
    Export("fr_workshop", fr_workshop, "DMY", ","),
    Export("nested_lines", nested_lines),
    Export("monthly_fr", monthly_fr, "DMY", ","),
    Export("us_bench", us_bench),
]
