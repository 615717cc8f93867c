import { expect, test } from 'vitest';
import { Newest } from '../src/shared/newest';

/** Frames and answers that come when the test says so. */
function bench() {
  const frames: (() => void)[] = [];
  const asked: string[] = [];
  const taken: string[] = [];
  const failed: unknown[] = [];
  const answers: { resolve: (text: string) => void; reject: (why: unknown) => void }[] = [];
  const newest = new Newest<string, string>(
    (question) => {
      asked.push(question);
      return new Promise((resolve, reject) => answers.push({ resolve, reject }));
    },
    (answer, question) => taken.push(`${question}=${answer}`),
    (thrown) => failed.push(thrown),
    (then) => frames.push(then),
  );
  const quiet = async () => {
    for (let i = 0; i < 6; i += 1) await Promise.resolve();
  };
  return { newest, frames, asked, taken, failed, answers, quiet };
}

test('within one frame only the newest goes out', () => {
  const { newest, frames, asked } = bench();
  newest.put('a');
  newest.put('b');
  newest.put('c');
  expect(frames).toHaveLength(1);
  frames[0]!();
  expect(asked).toEqual(['c']);
});

test('no more than one is on its way; the newest follows it', async () => {
  const { newest, frames, asked, taken, answers, quiet } = bench();
  newest.put('a');
  frames[0]!();
  newest.put('b');
  newest.put('c');
  expect(frames).toHaveLength(1);
  expect(newest.idle).toBe(false);
  answers[0]!.resolve('1');
  await quiet();
  expect(taken).toEqual(['a=1']);
  expect(frames).toHaveLength(2);
  frames[1]!();
  expect(asked).toEqual(['a', 'c']);
  answers[1]!.resolve('2');
  await quiet();
  expect(taken).toEqual(['a=1', 'c=2']);
  expect(newest.idle).toBe(true);
});

test('one that fails does not stop the next', async () => {
  const { newest, frames, failed, taken, answers, quiet } = bench();
  newest.put('a');
  frames[0]!();
  newest.put('b');
  answers[0]!.reject('no');
  await quiet();
  expect(failed).toEqual(['no']);
  frames[1]!();
  answers[1]!.resolve('2');
  await quiet();
  expect(taken).toEqual(['b=2']);
});

test('stopped, nothing more is asked or taken', async () => {
  const { newest, frames, asked, taken, answers, quiet } = bench();
  newest.put('a');
  frames[0]!();
  newest.put('b');
  newest.stop();
  answers[0]!.resolve('1');
  await quiet();
  expect(taken).toEqual([]);
  expect(frames).toHaveLength(1);
  expect(asked).toEqual(['a']);
});
