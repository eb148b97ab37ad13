"""Ten exports that the proposals were developed on: four languages, every shape of file."""

import json
from pathlib import Path

from tests.etl.mapping.exports.draw import jobs_of
from tests.etl.mapping.exports.write import Export, Truth, book, comma, csv_file, sheet, truth


def us_flat(folder: Path) -> list[Truth]:
    """Abbreviated headers of a US shop's flat export."""
    columns = [
        ("Tkt #", "job_id", lambda j: f"T-{j.number}"),
        ("Svc Dt", "opened_on", lambda j: f"{j.opened:%m/%d/%Y}"),
        ("Compl Dt", "closed_on", lambda j: f"{j.closed:%m/%d/%Y}"),
        ("Cust", "customer", lambda j: j.customer),
        ("Ph", "customer|", lambda j: j.phone),
        ("Addr", "customer|", lambda j: j.street),
        ("Appl", "appliance_kind", lambda j: j.kind),
        ("Mfr", "brand", lambda j: j.brand),
        ("Mdl", "model", lambda j: j.model),
        ("Ser #", "serial", lambda j: j.serial),
        ("Cust Complaint", "symptom", lambda j: j.symptom),
        ("Dx", "root_cause", lambda j: j.cause),
        ("Work Perf", "repair_code", lambda j: j.work),
        ("Tech", "technician", lambda j: j.technician),
        ("Stat", "disposition", lambda j: j.status),
        ("Lbr Hrs", "minutes_on_job", lambda j: f"{j.minutes / 60:.2f}"),
        ("Lbr $", "labour_charged", lambda j: f"{j.labor:.2f}"),
        ("Prts $", "parts_charged", lambda j: f"{j.parts:.2f}"),
        ("Tot", "charged", lambda j: f"{j.total:.2f}"),
    ]
    csv_file(folder / "export.csv", columns, jobs_of("us", 140, 1))
    return [truth("export.csv", "jobs", columns)]


def us_invoice_lines(folder: Path) -> list[Truth]:
    """Lines of invoices: only parts, with the invoice's own columns repeated."""
    columns = [
        ("Invoice No", "job_id", lambda r: r[0].number),
        ("Invoice Date", "", lambda r: f"{r[0].closed:%m/%d/%y}"),
        ("Bill To", "", lambda r: r[0].customer),
        ("Item #", "part_no", lambda r: r[1]["number"]),
        ("Item Description", "component", lambda r: r[1]["component"]),
        ("Qty", "quantity", lambda r: r[1]["quantity"]),
        ("Our Cost", "unit_cost", lambda r: f"{r[1]['cost']:.2f}"),
        ("Price Ea", "unit_charge", lambda r: f"{r[1]['price']:.2f}"),
        ("Ext Amt", "", lambda r: f"{r[1]['price'] * r[1]['quantity']:.2f}"),
    ]
    rows = [(job, line) for job in jobs_of("us", 110, 2) for line in job.lines]
    csv_file(folder / "invoice_lines.csv", columns, rows)
    return [truth("invoice_lines.csv", "part_lines", columns)]


def uk_flat(folder: Path) -> list[Truth]:
    """A UK shop's flat export with VAT, under two lines of title."""
    columns = [
        ("Job Ref", "job_id", lambda j: f"R{j.number}"),
        ("Date Booked", "opened_on", lambda j: f"{j.opened:%d/%m/%Y}"),
        ("Date Completed", "closed_on", lambda j: f"{j.closed:%d/%m/%Y}"),
        ("Depot", "branch", lambda j: j.branch),
        ("Engineer", "technician", lambda j: j.technician),
        ("Surname", "customer", lambda j: j.customer),
        ("Postcode", "customer|", lambda j: f"ZZ{j.number % 90} 1AA"),
        ("Tel No", "customer|", lambda j: j.phone),
        ("Appliance", "appliance_kind", lambda j: j.kind),
        ("Make", "brand", lambda j: j.brand),
        ("Model No.", "model", lambda j: j.model),
        ("Fault Reported", "symptom", lambda j: j.symptom),
        ("Fault Found", "root_cause", lambda j: j.cause),
        ("Work Carried Out", "repair_code", lambda j: j.work),
        ("Job Status", "disposition", lambda j: j.status),
        ("Time on Site (mins)", "minutes_on_job", lambda j: j.minutes),
        ("Labour (£)", "labour_charged", lambda j: f"£{j.labor:.2f}"),
        ("Parts (£)", "parts_charged", lambda j: f"£{j.parts:.2f}"),
        ("VAT", "|tax", lambda j: f"£{j.total * 0.2:.2f}"),
        ("Total inc VAT", "charged", lambda j: f"£{j.total * 1.2:.2f}"),
    ]
    above = [["Repair register (invented shop)"], ["Printed 01/02/2026", ""]]
    csv_file(folder / "register.csv", columns, jobs_of("uk", 90, 3), above=above)
    return [truth("register.csv", "jobs", columns)]


def uk_workbook(folder: Path) -> list[Truth]:
    """A workbook: jobs and parts, title rows above, a row of totals below."""
    columns = [
        ("Job No", "job_id", lambda j: j.number),
        ("Taken", "opened_on", lambda j: j.opened),
        ("Finished", "closed_on", lambda j: j.closed),
        ("Type of Machine", "appliance_kind", lambda j: j.kind),
        ("Manufacturer", "brand", lambda j: j.brand),
        ("Customer's Complaint", "symptom", lambda j: j.symptom),
        ("Diagnosis", "root_cause", lambda j: j.cause),
        ("Outcome", "disposition", lambda j: j.status),
        ("Attended By", "technician", lambda j: j.technician),
        ("Hours", "minutes_on_job", lambda j: round(j.minutes / 60, 2)),
        ("Invoice Total", "charged", lambda j: j.total),
    ]
    parts = [
        ("Job No", "job_id", lambda r: r[0].number),
        ("Part Number", "part_no", lambda r: r[1]["number"]),
        ("Part Description", "component", lambda r: r[1]["component"]),
        ("Quantity", "quantity", lambda r: r[1]["quantity"]),
        ("Trade Price", "unit_cost", lambda r: r[1]["cost"]),
        ("Retail Price", "unit_charge", lambda r: r[1]["price"]),
        ("Van Stock?", "from_van", lambda r: "Y" if r[1]["van"] else "N"),
    ]
    jobs = jobs_of("uk", 75, 4)
    made = book()
    above = [["Workshop book 2025"], ["Year to date", None, "all engineers"], []]
    below = [["Total", None, None, None, None, None, None, None, None, 100, 9999.0]]
    sheet(made, "Jobs", columns, jobs, above, below)
    sheet(made, "Parts", parts, [(j, line) for j in jobs for line in j.lines])
    made.save(folder / "book.xlsx")
    return [
        truth("book.xlsx", "jobs", columns, "Jobs"),
        truth("book.xlsx", "part_lines", parts, "Parts"),
    ]


def de_flat(folder: Path) -> list[Truth]:
    """A German shop's flat export: semicolons, comma decimals, Windows-1252."""
    columns = [
        ("Auftragsnr", "job_id", lambda j: j.number),
        ("Annahmedatum", "opened_on", lambda j: f"{j.opened:%d.%m.%Y}"),
        ("Erledigt am", "closed_on", lambda j: f"{j.closed:%d.%m.%Y}"),
        ("Kunde", "customer", lambda j: j.customer),
        ("Telefon", "customer|", lambda j: j.phone),
        ("Straße", "customer|", lambda j: j.street),
        ("Gerät", "appliance_kind", lambda j: j.kind),
        ("Hersteller", "brand", lambda j: j.brand),
        ("Modell", "model", lambda j: j.model),
        ("Seriennr.", "serial", lambda j: j.serial),
        ("Fehlerbild", "symptom", lambda j: j.symptom),
        ("Ursache", "root_cause", lambda j: j.cause),
        ("Ausgeführte Arbeit", "repair_code", lambda j: j.work),
        ("Monteur", "technician", lambda j: j.technician),
        ("Status", "disposition", lambda j: j.status),
        ("Arbeitszeit (Std)", "minutes_on_job", lambda j: comma(j.minutes / 60)),
        ("Fahrzeit (Min)", "travel_minutes", lambda j: j.travel),
        ("Lohn", "labour_charged", lambda j: comma(j.labor)),
        ("Material", "parts_charged", lambda j: comma(j.parts)),
        ("MwSt", "|tax", lambda j: comma(j.total * 0.19)),
        ("Gesamtbetrag", "charged", lambda j: comma(j.total * 1.19, " €")),
    ]
    csv_file(folder / "auftraege.csv", columns, jobs_of("de", 120, 5), ";", "cp1252")
    return [truth("auftraege.csv", "jobs", columns)]


def de_time_sheet(folder: Path) -> list[Truth]:
    """A German time sheet: one row for each trip, without a visit number."""
    columns = [
        ("Datum", "|visited_on|arrived_at", lambda r: f"{r[1]['start']:%d.%m.%y}"),
        ("Mitarbeiter", "technician", lambda r: r[1]["technician"]),
        ("Auftrag", "job_id", lambda r: r[0].number),
        ("Beginn", "arrived_at", lambda r: f"{r[1]['start']:%d.%m.%Y %H:%M}"),
        ("Ende", "left_at", lambda r: f"{r[1]['end']:%d.%m.%Y %H:%M}"),
        (
            "Dauer",
            "minutes_on_job",
            lambda r: f"{r[1]['minutes'] // 60}:{r[1]['minutes'] % 60:02d}",
        ),
        ("Anfahrt (min)", "travel_minutes", lambda r: r[1]["travel"]),
        ("Ergebnis", "outcome", lambda r: r[1]["outcome"]),
    ]
    rows = [(job, visit) for job in jobs_of("de", 100, 6) for visit in job.visits]
    csv_file(folder / "stunden.csv", columns, rows, ";")
    return [truth("stunden.csv", "visits", columns)]


def fr_flat(folder: Path) -> list[Truth]:
    """A French shop's flat export."""
    columns = [
        ("N° intervention", "job_id", lambda j: f"I{j.number}"),
        ("Date d'appel", "opened_on", lambda j: f"{j.opened:%d/%m/%Y}"),
        ("Date de clôture", "closed_on", lambda j: f"{j.closed:%d/%m/%Y}"),
        ("Agence", "branch", lambda j: j.branch),
        ("Client", "customer", lambda j: j.customer),
        ("Tél.", "customer|", lambda j: j.phone),
        ("Appareil", "appliance_kind", lambda j: j.kind),
        ("Marque", "brand", lambda j: j.brand),
        ("Modèle", "model", lambda j: j.model),
        ("N° de série", "serial", lambda j: j.serial),
        ("Panne", "symptom", lambda j: j.symptom),
        ("Diagnostic", "root_cause", lambda j: j.cause),
        ("Travaux effectués", "repair_code", lambda j: j.work),
        ("Technicien", "technician", lambda j: j.technician),
        ("Statut", "disposition", lambda j: j.status),
        ("Durée", "minutes_on_job", lambda j: f"{j.minutes // 60}h{j.minutes % 60:02d}"),
        ("Main d'œuvre", "labour_charged", lambda j: comma(j.labor)),
        ("Pièces", "parts_charged", lambda j: comma(j.parts)),
        ("TVA", "|tax", lambda j: comma(j.total * 0.2)),
        ("Montant TTC", "charged", lambda j: comma(j.total * 1.2)),
    ]
    csv_file(folder / "interventions.csv", columns, jobs_of("fr", 80, 7), ";")
    return [truth("interventions.csv", "jobs", columns)]


def us_nested(folder: Path) -> list[Truth]:
    """Nested JSON: jobs that hold their visits, parts and readings."""
    records = [
        {
            "ticketNumber": job.number,
            "created": f"{job.opened:%Y-%m-%d}",
            "completed": f"{job.closed:%Y-%m-%d}",
            "customer": {"name": job.customer, "phone": job.phone},
            "unit": {"type": job.kind, "make": job.brand, "model": job.model},
            "complaint": job.symptom,
            "finding": job.cause,
            "status": job.status,
            "visits": [
                {
                    "tech": v["technician"],
                    "arrived": v["start"].isoformat(),
                    "departed": v["end"].isoformat(),
                    "result": v["outcome"],
                }
                for v in job.visits
            ],
            "parts": [{"sku": p["number"], "qty": p["quantity"], "price": p["price"]} for p in job.lines],
            "tests": [{"point": r["point"], "reading": r["value"], "units": r["unit"]} for r in job.readings],
        }
        for job in jobs_of("us", 60, 8)
    ]  # fmt: skip
    (folder / "jobs.json").write_text(json.dumps({"jobs": records}), encoding="utf-8")
    jobs = {
        "ticketNumber": "job_id", "created": "opened_on", "completed": "closed_on",
        "customer.name": "customer", "customer.phone": "customer|", "unit.type": "appliance_kind",
        "unit.make": "brand", "unit.model": "model", "complaint": "symptom",
        "finding": "root_cause", "status": "disposition",
    }  # fmt: skip
    visits = {
        "ticketNumber": "job_id", "visits.tech": "technician", "visits.arrived": "arrived_at",
        "visits.departed": "left_at", "visits.result": "outcome",
    }  # fmt: skip
    parts = {
        "ticketNumber": "job_id", "parts.sku": "part_no", "parts.qty": "quantity",
        "parts.price": "unit_charge",
    }  # fmt: skip
    tests = {
        "ticketNumber": "job_id", "tests.point": "test_point", "tests.reading": "value",
        "tests.units": "unit",
    }  # fmt: skip
    return [
        Truth("jobs.json", "jobs", "jobs", jobs),
        Truth("jobs.json", "jobs.visits", "visits", visits),
        Truth("jobs.json", "jobs.parts", "part_lines", parts),
        Truth("jobs.json", "jobs.tests", "readings", tests),
    ]


def us_monthly(folder: Path) -> list[Truth]:
    """Three months in three files of one form."""
    columns = [
        ("WO", "job_id", lambda j: j.number),
        ("Called In", "opened_on", lambda j: f"{j.opened:%m-%d-%Y}"),
        ("Done", "closed_on", lambda j: f"{j.closed:%m-%d-%Y}"),
        ("Homeowner", "customer", lambda j: j.customer),
        ("Unit", "appliance_kind", lambda j: j.kind),
        ("Brand", "brand", lambda j: j.brand),
        ("Problem", "symptom", lambda j: j.symptom),
        ("What We Found", "root_cause", lambda j: j.cause),
        ("What We Did", "repair_code", lambda j: j.work),
        ("Serviceman", "technician", lambda j: j.technician),
        ("Trips", "visit_count", lambda j: len(j.visits)),
        ("Min", "minutes_on_job", lambda j: j.minutes),
        ("Result", "disposition", lambda j: j.status),
        ("Ticket Total", "charged", lambda j: f"${j.total:,.2f}"),
    ]
    jobs = jobs_of("us", 120, 9)
    names = ["jan.csv", "feb.csv", "mar.csv"]
    for i, name in enumerate(names):
        csv_file(folder / name, columns, jobs[i * 40 : i * 40 + 40])
    return [truth(name, "jobs", columns) for name in names]


def us_readings(folder: Path) -> list[Truth]:
    """A workbook of readings and visits, without the jobs."""
    readings = [
        ("Ticket", "job_id", lambda r: r[0].number),
        ("Step", "seq", lambda r: r[1]["step"]),
        ("Where Measured", "test_point", lambda r: r[1]["point"]),
        ("Meter Reading", "value", lambda r: r[1]["value"]),
        ("UOM", "unit", lambda r: r[1]["unit"]),
    ]
    visits = [
        ("Ticket", "job_id", lambda r: r[0].number),
        ("Trip #", "visit_no", lambda r: r[1]["number"]),
        ("Tech Name", "technician", lambda r: r[1]["technician"]),
        ("Time In", "arrived_at", lambda r: r[1]["start"]),
        ("Time Out", "left_at", lambda r: r[1]["end"]),
        ("Drive Min", "travel_minutes", lambda r: r[1]["travel"]),
        ("How It Ended", "outcome", lambda r: r[1]["outcome"]),
    ]
    jobs = jobs_of("us", 50, 10)
    made = book()
    sheet(made, "Meter log", readings, [(j, r) for j in jobs for r in j.readings])
    sheet(made, "Trip log", visits, [(j, v) for j in jobs for v in j.visits])
    made.save(folder / "logs.xlsx")
    return [
        truth("logs.xlsx", "readings", readings, "Meter log"),
        truth("logs.xlsx", "visits", visits, "Trip log"),
    ]


EXPORTS = [
    Export("us_flat", us_flat, "MDY"),
    Export("us_invoice_lines", us_invoice_lines),
    Export("uk_flat", uk_flat, "DMY"),
    Export("uk_workbook", uk_workbook),
    Export("de_flat", de_flat, "DMY", ","),
    Export("de_time_sheet", de_time_sheet, "DMY"),
    Export("fr_flat", fr_flat, "DMY", ","),
    Export("us_nested", us_nested),
    Export("us_monthly", us_monthly, "MDY"),
    Export("us_readings", us_readings),
]
