// SPDX-License-Identifier: Apache-2.0
// The shapes of the server's answers about a water's bed.
import type { Day, Q } from '../types';

/** A spot of the water's own plane: metres east and north. */
export type Spot = [number, number];

/** A figure with its 90 % interval, in the unit of the value. */
export interface Wide extends Q { low: number; high: number }

export interface CurveRow { level: Q; area: Q; volume: Wide }
export interface HypsoRow { depth: Q; share_shallower: { value: number; unit: string } }
export interface ZoneFigures { id: number; name: string; kind: string; area: Q | null; volume: Wide | null; mean_depth: Q | null }
export interface SetAside { reason: string; text: string; count: number }

export interface Survey {
  id: number; name: string; date: Day | null; level: Q | null; offset: Q | null; used: boolean; source: string; note: string;
  soundings: number; used_soundings: number; set_aside: SetAside[];
  /** The owner's word on single soundings, as ranges of their numbers: "3,17-20". */
  kept?: string | null; dropped?: string | null;
}

export type Way = 'sounded' | 'few-depths' | 'told-max' | 'told-mean';

export interface Basin {
  water: string; id: number; way: Way; how: string; level: Q; full_pool: boolean;
  area: Q; volume: Wide; mean_depth: Q; max_depth: Wide;
  cross_validation: { rmse: Q; bias: Q; folds: { value: number; unit: string }; soundings: { value: number; unit: string } } | null;
  shoreline: Q; shoreline_development: { value: number; unit: string }; step: Q;
  curve: CurveRow[]; hypsograph: HypsoRow[]; zones: ZoneFigures[];
  today: { level: Q; date: Day; area: Q; volume: Wide; mean_depth: Q } | null;
  surveys: Survey[]; methods: Array<{ name: string; source: string }>; caution: string;
}

export interface Frame { nx: number; ny: number; step: number; x0: number; y0: number }

export interface BedAnswer {
  frame: Frame; corners: Spot[];
  depth: Array<number | null>; error: Array<number | null> | null; cover: number[];
  shore: Spot[][]; max_depth: number;
}

export interface Contour { depth: Q; rings: Spot[][] }
export interface Contours { interval: number; contours: Contour[] }

export interface Soundings {
  count: number; shown: number;
  soundings: { x: number[]; y: number[]; depth: number[]; residual: Array<number | null>; survey: number[]; number: number[]; flaw: string[] };
}

export interface ImportReport {
  format: string; read: number; used: number; set_aside: SetAside[]; skipped: Array<{ what: string; count: number }>;
  date: Day | null; warnings: string[];
}
