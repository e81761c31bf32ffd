from pathlib import Path

from rigbook.documents.loader import load_shop


def test_empty_folder_names_the_missing_shop_file(tmp_path: Path) -> None:
    loaded = load_shop(tmp_path)
    assert [(e.file, e.line) for e in loaded.errors] == [("shop.yaml", 1)]
