"""`rigbook draw BUILD NAME -o FILE`: one drawing."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble

NAMES = (
    "lamp-map", "fuse-map", "one-line", "time-current", "day", "panels", "faces", "balance", "lids", "around", "colours", "ground", "markings", "timing", "labels", "view-plan", "view-left", "view-right", "view-front", "view-rear",
)  # fmt: skip


@click.command("draw")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("name")
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write: .svg, .pdf, .dxf.")
@click.option("--r12", is_flag=True, help="A .dxf of release 12, for old cutters.")
@click.option("--quiet", is_flag=True, help="Do not say what was written.")
def command(build: Path, name: str, output: Path, r12: bool, quiet: bool) -> None:
    """Write a drawing.

    NAME is one of those below, or a face of the build: its drawing, or as .dxf its cut file in millimetres.

    \b
    lamp-map    five views to scale with every lamp, its colours and aim
    fuse-map    every fuse block as it looks, and the fuses in the line
    one-line    from each battery post to every circuit
    time-current  every fuse with those above it: load, inrush, shorts, damage of the wire
    day         charge and voltage of the batteries through the working day
    panels      the crew's switch panels, dimensioned, with their legends
    faces       every face with its cut-outs, dimensioned: front, section, holes
    balance     the centre of gravity on the vehicle in every loading, axle loads
    lids        lids on gas springs from the side: closed, halfway, open
    ground      light on the ground with contour lines, a drawing for each state that areas name
    markings    reflective markings of each side with their bands, and the strips on their rolls
    timing      what flashes when, one diagram a function
    labels      both ends of every wire, circuits, modules: on the shop's label stock
    view-plan, view-left, view-right, view-front, view-rear
                one view of the lamp map alone
    """
    from rigbook.cli.common import assess_or_stop, write_output

    form = output.suffix.lower()
    if form not in (".svg", ".pdf", ".dxf"):
        raise CommandTrouble(f"{output}: a drawing is a .svg, .pdf or .dxf file; name it {output.stem}.svg")
    if r12 and form != ".dxf":
        raise CommandTrouble(f"--r12 is for a .dxf file, and {output.name} is none")
    if name in NAMES and form == ".dxf":
        raise CommandTrouble(f"{name} is not cut: a .dxf file holds one face of the build; name that face")
    if name not in NAMES:
        _write_face(build, name, output, r12=r12, quiet=quiet)
        return
    assessment = assess_or_stop(build)
    from rigbook.assess.results_json import to_json
    from rigbook.papers.drawings import drawing_pdf, drawing_svg

    rig, report = assessment.worked, to_json(assessment)
    write_output(output, drawing_svg(name, rig, report) if form == ".svg" else drawing_pdf(name, rig, report), quiet)


def _write_face(build: Path, name: str, output: Path, *, r12: bool, quiet: bool) -> None:
    import difflib

    from rigbook.cli.common import assess_or_stop, write_output

    assessment = assess_or_stop(build, judged=output.suffix.lower() == ".pdf")
    rig = assessment.worked
    faces = [panel.id for panel in rig.build.panels]
    if name not in faces:
        near = difflib.get_close_matches(name, [*NAMES, *faces], n=1, cutoff=0.0)
        raise CommandTrouble(
            f"there is no drawing and no face {name}; the nearest is {near[0]}. Drawings: {', '.join(NAMES)}. "
            f"Faces of this build: {', '.join(faces) or 'none'}."
        )
    if output.suffix.lower() == ".dxf":
        from rigbook.papers.cut_files import CannotCut, cut_file

        try:
            made = cut_file(rig, name, old=r12)
        except CannotCut as wrong:
            raise CommandTrouble(str(wrong)) from wrong
    else:
        from rigbook.assess.results_json import to_json
        from rigbook.papers.drawings import face_drawing

        made = face_drawing(name, rig, to_json(assessment), pdf=output.suffix.lower() == ".pdf")
    write_output(output, made, quiet)
