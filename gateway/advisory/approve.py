"""Put a locally approved nitrogen plan on record; a new approval is a new plan."""

from gateway.advisory.changes import WHO
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import NitrogenPlan, Scheme


def add_plan(store: Store, clock: Clock, scheme: Scheme, plan: NitrogenPlan) -> int:
    """Add the plan, with who approved it in the audit. Raises AlreadyOnRecord."""
    with store.begin() as unit:
        added = unit.schemes.add_plan(scheme.id, plan)
        noted = {
            "name": plan.name,
            "approved by": plan.approved_by,
            "approved on": plan.approved_on,
            "source": plan.source,
            "splits": len(plan.splits),
        }
        unit.office.audit(scheme.id, WHO, "nitrogen plan added", noted, clock.now())
        unit.commit()
    return added
