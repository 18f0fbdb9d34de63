// SPDX-License-Identifier: Apache-2.0
// The shapes of the server's answers. Values are in the unit they name; `shown` is for people.

/** A date of the water's own calendar, "2026-04-15". */
export type Day = string;
export type Unit = string;

export interface Q { value: number; unit: Unit; shown: string }
export interface DatedQ extends Q { date: Day }

export type Verdict = 'do' | 'hold' | 'ask';

export interface Version {
  name: string; version: string; today: Day; revision: number;
  units: 'us' | 'metric'; money: string; place: string;
}

export interface Cited { name: string; value: number; unit: Unit; shown: string; date: Day | null }

export interface Reason {
  rule: string; text: string; decides: boolean; set_aside: string | null;
  inputs: Cited[]; source: string; basis: string;
}

export interface Amount {
  value: number; unit: Unit; low: number; high: number; shown: string;
  method: string | null; query: string | null;
}

export interface Choice {
  material: string; form: string; grade: string; mass: Q; volume: Q | null;
  packages: number | null; left: number | null; to_buy: number | null; cost: Q | null;
  price_per_active: Q | null; active: string | null; active_per: string; shown: string; chosen: boolean;
}

export interface Item {
  subject: string; verdict: Verdict; headline: string; amount: Amount | null;
  by: Day | null; look_again: Day | null; urgency: number; measure: string | null;
  reasons: Reason[]; cautions: string[]; steps: string[]; choices: Choice[];
}

export interface WaterNow { water: string; id: number; items: Item[] }
export interface Now { as_of: Day; revision: number; waters: WaterNow[] }

export interface ClarityPoint { date: Day; value: number; shown: string }

export interface WaterLine {
  id: number; name: string; area: Q | null; mean_depth: Q | null; volume: Q | null;
  aim_low: Q; aim_high: Q; alarm: Q; clarity: DatedQ | null; clarity_history: ClarityPoint[];
}
export interface Waters { waters: WaterLine[] }

export type FactValue = Q | string | Record<string, unknown> | null;

export interface Reading {
  id: number; quantity: string; value: number; unit: Unit; shown: string; date: Day;
  depth: Q | null; by: string; note: string;
}
export interface Treatment {
  id: number; material: string; grade: string; purpose: string; mass: Q; volume: Q | null;
  shown: string; date: Day; by: string; conditions: string; note: string;
}
export interface Note { id: number; date: Day; text: string; by: string }
export interface Override { id: number; rule: string; reason: string; date: Day; until: Day | null }
export interface Zone { id: number; name: string; kind: string; area: Q | null; outline: Shape | null; note: string }
/** A GeoJSON geometry. */
export interface Shape { type: string; coordinates?: unknown; geometries?: Shape[] }
export interface Latest { quantity: string; label: string; value: number; unit: Unit; shown: string; date: Day; fresh: boolean }

export interface Sheet {
  id: number; name: string; facts: Record<string, FactValue>;
  area: Q | null; area_from: string; mean_depth: Q | null; volume: Q | null; volume_from: string;
  retention: Q | null; perimeter: Q | null; aim: { low: Q; high: Q; alarm: Q };
  latest: Latest[]; readings: Reading[]; treatments: Treatment[]; notes: Note[]; overrides: Override[]; zones: Zone[];
}

export interface Lot { id: number; date: Day; packages: number; price: Q | null; note: string }
export interface Material {
  id: number; name: string; kind: string; form: string; grade: string; package: Q | null; price: Q | null;
  left: number | null; bought: number; used: number;
  price_per_active: Q | null; active: string | null; active_per: string;
  density: Q | null; neutralizing_value: Q | null; fineness: Q | null; note: string;
  enough_until: Day | null; lots: Lot[];
}
export interface Buy { material: string; packages: number; cost: Q | null; by: Day | null; why: string }
export interface Shelf { money: string; materials: Material[]; buy: Buy[] }

export interface LogEntry {
  change: number; at: string; who: string; why: string; action: string;
  undoes: number; undone_by: number; records: number;
}
export interface Log { entries: LogEntry[] }

export interface Quantity {
  name: string; label: string; unit: Unit; us_unit: Unit; metric_unit: Unit;
  choices: string[] | null; how: string;
}
export interface Quantities { quantities: Quantity[] }

export interface MethodLine { name: string; title: string; purpose: string; basis: string }
export interface Methods { methods: MethodLine[] }

export interface MethodInput {
  name: string; meaning: string; kind: string; unit: Unit | null; optional: boolean;
  default: number | string | null; low: number | null; high: number | null; choices: string[] | string | null;
}
export interface MethodOutput { name: string; meaning: string; unit: Unit }
export type MethodValues = Record<string, { value: number | string | Array<number | string>; unit: Unit | null }>;
export interface Method {
  method: string; title: string; purpose: string; formula: string; source: string; basis: string;
  limits: string; takes: MethodInput[]; gives: MethodOutput[];
  inputs: MethodValues | null; outputs: MethodValues | null;
}

export interface Rule { id: string; subject: string; condition: string; source: string; basis: string }
export interface ProgramRow { key: string; meaning: string; value: Q; fallback: Q; source: string; basis: string }
export interface Rules { rules: Rule[]; program: ProgramRow[] }

export interface SeasonDose {
  date: Day; number: number; material: string; packages: number | null; mass: Q; cost: Q | null; first: boolean;
}
export interface Season {
  water: string; from: Day; to: Day; doses: SeasonDose[];
  total: { packages: number | null; cost: Q | null }; assumptions: string[]; note: string;
}

export interface Entry { change: number; kind: string; id: number; shown: string; warning: string | null; revision: number }

export interface FaultBody { id: string; message: string; field: string | null }
