"""The settings: read once from the environment, each with its name, default and meaning."""

from pathlib import Path
from typing import Literal

from pydantic import Field, SecretStr, ValidationError
from pydantic_settings import BaseSettings, SettingsConfigDict

CHECKOUT = Path(__file__).resolve().parent.parent
PACKAGED = Path(__file__).resolve().parent / "data"


class SettingsError(Exception):
    """A setting that is missing or wrong: its name and the cure, one line each."""


def shipped(folder: str) -> Path:
    """flows/ or locales/: the checkout's where this is one, else what the wheel carries."""
    in_checkout = CHECKOUT / folder
    return in_checkout if (CHECKOUT / "pyproject.toml").exists() else PACKAGED / folder


class Settings(BaseSettings):
    """Each setting is an environment variable GATEWAY_<NAME>."""

    model_config = SettingsConfigDict(env_prefix="GATEWAY_", extra="ignore")

    database_url: str = Field(
        "sqlite:///gateway.db", description="Where everything is kept: SQLite file or PostgreSQL."
    )
    phone_keys: SecretStr = Field(
        min_length=16,
        description="One or more keys for phone numbers, comma between; the first one encrypts. "
        "Make one with: gateway make-key",
    )
    web_secret: SecretStr = Field(
        SecretStr(""), description="Signs the console's sessions; needed by gateway serve."
    )
    flows: Path = Field(default_factory=lambda: shipped("flows"), description="The flows folder.")
    locales: Path = Field(
        default_factory=lambda: shipped("locales"), description="The locales folder."
    )
    scheme: str = Field("", description="Code of the scheme; may be left out where there is one.")
    carriers: str = Field(
        "simulator",
        description="Carriers in use, comma between; what the office starts leaves by the first.",
    )
    host: str = Field("127.0.0.1", description="Address that gateway serve listens on.")
    port: int = Field(8080, ge=0, le=65535, description="Port that gateway serve listens on.")
    trusted_proxy: str = Field(
        "", description="Address of the proxy whose word on https is believed; none where empty."
    )
    threads: int = Field(4, ge=1, le=64, description="Threads that answer requests.")
    phones_page: bool = Field(
        False, description="Shows the phone simulator page; for trials and the demo only."
    )
    tick_seconds: float = Field(30, ge=0.2, le=3600, description="How often the calendar is asked.")
    log_level: Literal["debug", "info", "warning", "error"] = Field(
        "info", description="What is written to the log."
    )

    def all_phone_keys(self) -> list[str]:
        """The keys in their order; blanks and line ends around them do not count."""
        return [key.strip() for key in self.phone_keys.get_secret_value().split(",") if key.strip()]


def read_settings() -> Settings:
    """The settings of this process. Raises SettingsError naming each that is missing or wrong."""
    try:
        return Settings()  # type: ignore[call-arg]
    except ValidationError as error:
        raise SettingsError("\n".join(_cure(e["loc"], e["msg"]) for e in error.errors())) from None


def _cure(where: tuple[int | str, ...], words: str) -> str:
    name = str(where[0]) if where else "?"
    about = Settings.model_fields[name].description if name in Settings.model_fields else ""
    said = "is missing" if words == "Field required" else words.lower()
    return f"GATEWAY_{name.upper()}: {said}. {about}"
