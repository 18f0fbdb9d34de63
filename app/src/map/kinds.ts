// SPDX-License-Identifier: Apache-2.0
// The kinds of place a water has, and what each can be drawn as.
export type Form = 'area' | 'line' | 'spot';

export interface Kind { kind: string; text: string; forms: Form[]; hint: string }

export const KINDS: Kind[] = [
  { kind: 'bay', text: 'Bay', forms: ['area'], hint: 'Go round it point by point, a little over the shore: only the part in the water counts.' },
  { kind: 'hazard', text: 'Hazard', forms: ['area', 'line', 'spot'], hint: 'Stumps, timber, a shoal, a wire: draw it rather too large.' },
  { kind: 'channel', text: 'Creek channel', forms: ['line'], hint: 'Along the old creek bed, from the inlet down. The depth map then runs along it.' },
  { kind: 'launch', text: 'Boat launch', forms: ['spot', 'area'], hint: 'Where the boat goes in.' },
  { kind: 'inlet', text: 'Inlet', forms: ['spot', 'line'], hint: 'Where water comes in.' },
  { kind: 'spillway', text: 'Spillway', forms: ['spot', 'line'], hint: 'Where water goes out. Stay clear of it in a boat.' },
  { kind: 'swimming', text: 'Swimming place', forms: ['area', 'spot'], hint: 'Where people swim: nothing is put out here without heeding the label.' },
  { kind: 'platform', text: 'Platform', forms: ['spot', 'area'], hint: 'A pier, a dock or a feeding platform.' },
];

export const FORM_TEXT: Record<Form, string> = { area: 'An area', line: 'A line', spot: 'One spot' };

export function kindOf(kind: string): Kind {
  return KINDS.find((one) => one.kind === kind) ?? { kind, text: kind, forms: ['area', 'line', 'spot'], hint: '' };
}
