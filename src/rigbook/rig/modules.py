"""Controllers, output modules and switch panels: banks of outputs, their feeds, ports and clocks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema.build import BuildDocument, Install
from rigbook.documents.schema.parts import Controller, OutputModule
from rigbook.documents.schema.parts import OutputBank as BankPart
from rigbook.rig.model import Device, Module, OutputBank
from rigbook.rig.report import Report

_RANGE = re.compile(r"(\d+)(?:\s*-\s*(\d+))?")
ALL = "all"


def output_numbers(text: str, *, count: int) -> tuple[int, ...] | None:
    """Outputs named as `1-8` or `1, 3, 5-6`; None where that is no such list within 1 to count."""
    numbers: list[int] = []
    for piece in text.split(","):
        match = re.fullmatch(_RANGE, piece.strip())
        if match is None or len(piece) > 12:
            return None
        first = int(match.group(1))
        last = int(match.group(2) or first)
        if not 1 <= first <= last <= count:
            return None
        numbers.extend(range(first, last + 1))
    return tuple(numbers) if len(set(numbers)) == len(numbers) else None


def resolve_modules(
    *, build: BuildDocument, parts: Mapping[str, Any], devices: Mapping[str, Device], feeds: Mapping[str, Any],
    report: Report,
) -> dict[str, Module]:  # fmt: skip
    """Every installed controller and output module, in file order."""
    modules: dict[str, Module] = {}
    ports: dict[tuple[str, int], str] = {}
    for row in build.install:
        part = parts.get(row.part)
        if row.id not in devices:
            continue
        _check_controller(row, build, parts, ports, report)
        if isinstance(part, Controller | OutputModule):
            modules[row.id] = _module(row, part, parts, build, feeds, report)
    return modules


def _check_controller(
    row: Install, build: BuildDocument, parts: Mapping[str, Any], ports: dict[tuple[str, int], str], report: Report
) -> None:
    if row.controller is None:
        if row.port is not None:
            report.error(row.where_of("port"), f"{row.id} names a port without a controller")
        return
    controllers = {each.id: parts.get(each.part) for each in build.install}
    host = controllers.get(row.controller)
    if not isinstance(host, Controller):
        names = [name for name, part in controllers.items() if isinstance(part, Controller)]
        report.unknown(row.where_of("controller"), "installed controller", row.controller, names)
        return
    if row.port is None:
        return
    if not 1 <= row.port <= host.ports:
        report.error(
            row.where_of("port"), f"{row.controller} has {host.ports} ports; {row.id} asks for port {row.port}",
            found=str(row.port),
        )  # fmt: skip
        return
    other = ports.setdefault((row.controller, row.port), row.id)
    if other != row.id:
        report.error(row.where_of("port"), f"port {row.port} of {row.controller} already holds {other}")


def _module(
    row: Install, part: Controller | OutputModule, parts: Mapping[str, Any], build: BuildDocument,
    feeds: Mapping[str, Any], report: Report,
) -> Module:  # fmt: skip
    if isinstance(part, OutputModule) and row.controller is None:
        report.error(row.where, f"output module {row.id} needs `controller:`, the controller that drives it")
    return Module(
        id=row.id,
        part_id=part.id,
        outputs=part.outputs.count,
        limit_a=part.outputs.limit,
        side=part.outputs.side,
        dims=part.outputs.dims,
        reads_current=part.outputs.reads_current,
        banks=_banks(row, part, feeds, report),
        outputs_used=(),
        inputs=part.inputs.count,
        inputs_used=(),
        controller=row.controller,
        clock=row.controller if isinstance(part, OutputModule) and row.controller else row.id,
        file=row.where.file,
        line=row.where.line,
    )


def bank_name(bank: BankPart) -> str:
    """Name of a bank's power terminal: its id, or the outputs it names."""
    return bank.id or bank.outputs.replace(" ", "")


def _banks(row: Install, part: Controller | OutputModule, feeds: Mapping[str, Any], report: Report) -> tuple[
    OutputBank, ...
]:  # fmt: skip
    named: list[tuple[str, tuple[int, ...], float | None]] = []
    taken: set[int] = set()
    for bank in part.banks:
        numbers = output_numbers(bank.outputs, count=part.outputs.count)
        if numbers is None or taken & set(numbers):
            report.error(
                bank.where_of("outputs"),
                f"{part.id}: a bank lists outputs of 1 to {part.outputs.count} once, as 1-8; found {bank.outputs}",
                found=bank.outputs,
            )
            continue
        taken |= set(numbers)
        named.append((bank_name(bank), numbers, bank.limit))
    rest = tuple(number for number in range(1, part.outputs.count + 1) if number not in taken)
    if rest:
        named.append((ALL, rest, None))
    return tuple(OutputBank(name, numbers, limit, _bank_feed(row, name, named, feeds, report)) for name, numbers, limit
                 in named)  # fmt: skip


def _bank_feed(
    row: Install, bank: str, named: list[tuple[str, tuple[int, ...], float | None]], feeds: Mapping[str, Any],
    report: Report,
) -> str | None:  # fmt: skip
    if row.feed is None:
        return None
    if isinstance(row.feed, str):
        if row.feed not in feeds and bank == named[0][0]:
            report.unknown(row.where_of("feed"), "feed", row.feed, feeds)
        return row.feed if row.feed in feeds else None
    if bank == named[0][0]:
        banks = [name for name, _, _ in named]
        for key, feed in row.feed.items():
            if key not in banks:
                report.unknown(row.where_of("feed"), f"bank of {row.id}", key, banks)
            if feed not in feeds:
                report.unknown(row.where_of("feed"), "feed", feed, feeds)
    found = row.feed.get(bank)
    return found if found in feeds else None
