import { Type, type TProperties } from 'typebox';
import { spring } from '../../site/schema-takeup.js';
import type { ServiceKind } from '../service-entry.js';
import { conveyor, side, takeup, text } from './parts.js';

const instant = (description: string) =>
  Type.Union([Type.String({ minLength: 1 }), Type.Number()], {
    description: `${description} ISO 8601 with offset, or milliseconds since 1970-01-01T00:00:00Z.`,
  });
const pitches = (description: string) => Type.Integer({ description, minimum: 1 });
const springMm = Type.Number({ description: 'Length of the spring afterwards, mm.', exclusiveMinimum: 0 });
const remark = (description: string) => Type.Union([Type.Boolean(), Type.String()], { description });

const rock = Type.Enum(['ok', 'excessive'], { description: 'Whether the carriage rocks.' });
const restraintNuts = Type.Enum(['out', 'in'], { description: 'Where the restraint nuts stand; in service they are run out.' });

const ends = {
  id: Type.Optional(text('Names the entry, so that a correction can. Absent: the name of the request.')),
  by: Type.Optional(text('Who did the work. Absent: who asks.')),
};
const ofConveyor = { conveyor, takeup: Type.Optional(text('Id of the take-up. Absent: the whole conveyor.')), ...ends };
const ofSide = {
  conveyor,
  takeup: Type.Optional(text('Id of the take-up; it may be left out where the conveyor has but one.')),
  side,
  ...ends,
};

function entry<Fields extends TProperties>(kind: ServiceKind, description: string, fields: Fields) {
  const time = instant('When the work was done.');
  return Type.Object({ time, kind: Type.Literal(kind, { description: 'Kind of the entry.' }), ...fields }, { title: kind, description });
}

/** What a correction may say of an entry, whatever its kind. */
const correctable = {
  conveyor: Type.Optional(conveyor),
  takeup: Type.Optional(takeup),
  at: Type.Optional(instant('When the work was done instead.')),
  withdraw: Type.Optional(Type.Boolean({ description: 'True strikes the entry out; false takes that back.' })),
  pitches: Type.Optional(pitches('Pitches instead.')),
  carriers: Type.Optional(Type.Union([Type.Integer({ minimum: 0 }), Type.Null()], { description: 'Carriers instead; null: not said.' })),
  side: Type.Optional(side),
  turns: Type.Optional(Type.Union([Type.Number(), Type.Null()], { description: 'Turns of the nut instead, positive tightens.' })),
  spring_mm: Type.Optional(Type.Union([springMm, Type.Null()], { description: 'Length of the spring instead, mm.' })),
  spring: Type.Optional(spring),
  position_mm: Type.Optional(Type.Number({ description: 'What the sensor reads instead, mm.' })),
  rock: Type.Optional(rock),
  restraint_nuts: Type.Optional(restraintNuts),
  noise: Type.Optional(Type.Union([Type.Boolean(), Type.String(), Type.Null()], { description: 'Noise instead; null: not said.' })),
  filings: Type.Optional(Type.Union([Type.Boolean(), Type.String(), Type.Null()], { description: 'Filings instead; null: not said.' })),
  note: Type.Optional(Type.Union([Type.String(), Type.Null()], { description: 'The note instead; null: none.' })),
  text: Type.Optional(text('The text instead.')),
};

/** A service entry in the contract's own form, one schema a kind. */
export const serviceEntry = Type.Union(
  [
    entry('chain-removed', 'Chain was taken out.', {
      pitches: pitches('Pitches taken out.'),
      carriers: Type.Optional(Type.Integer({ description: 'Carriers that came off with it.', minimum: 0 })),
      ...ofConveyor,
    }),
    entry('chain-inserted', 'Chain was put in.', { pitches: pitches('Pitches put in.'), ...ofConveyor }),
    entry('chain-replaced', 'The chain is a new one.', { pitches: pitches('Pitches of the new chain.'), ...ofConveyor }),
    entry('nut-turned', 'The adjusting nut was turned.', {
      turns: Type.Number({ description: 'Turns, positive tightens.' }),
      ...ofSide,
    }),
    entry('nut-turned', 'The adjusting nut was turned.', { spring_mm: springMm, ...ofSide }),
    entry('spring-replaced', 'A spring was replaced.', { spring, spring_mm: springMm, ...ofSide }),
    entry('sensor-rezeroed', 'The sensor was set anew.', {
      position_mm: Type.Number({ description: 'What it reads from now on at the same place, mm.' }),
      ...ofSide,
    }),
    entry('lubricated', 'The chain was lubricated.', ofConveyor),
    entry('inspected', 'The take-up was looked at.', {
      rock,
      restraint_nuts: restraintNuts,
      noise: Type.Optional(remark('Noise: yes or no, or in words.')),
      filings: Type.Optional(remark('Filings: yes or no, or in words.')),
      note: Type.Optional(text('Anything else.')),
      ...ofConveyor,
    }),
    entry('service-opened', 'Work begins: alarms of the take-up rest.', ofConveyor),
    entry('service-closed', 'Work is over.', ofConveyor),
    entry('note', 'A note.', { text: text('The note.'), ...ofConveyor }),
    entry('correction', 'Says what an earlier entry should have said, or strikes it out.', {
      replaces: text('Id of the entry that it corrects.'),
      ...ends,
      ...correctable,
    }),
  ],
  { description: 'Work on the conveyor, or a correction of an earlier entry.' },
);
