// SPDX-License-Identifier: Apache-2.0
// The day sheet on paper.
import { check, clean, open, PHONE, serve } from './harness.mjs';

const SHEETS = [['Letter', 612, 792], ['A4', 595, 842]];

function pages(pdf) {
  return (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;
}

async function daySheet() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport: PHONE, scheme: 'dark' });
  try {
    await page.locator('.card').first().waitFor();
    for (const [format, width, height] of SHEETS) {
      const pdf = await page.pdf({ format, printBackground: false });
      check(pdf.subarray(0, 5).toString() === '%PDF-', `${format} gives a PDF`);
      const box = /\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)/.exec(pdf.toString('latin1'));
      check(box && Math.abs(Number(box[1]) - width) < 3 && Math.abs(Number(box[2]) - height) < 3, `${format} has the size of ${format}: ${box?.[0]}`);
      check(pages(pdf) >= 1 && pages(pdf) <= 3, `${format}: ${pages(pdf)} pages for four waters`);
    }
    await page.emulateMedia({ media: 'print' });
    const seen = await page.evaluate(() => {
      const shown = (selector) => [...document.querySelectorAll(selector)].filter((one) => one.getClientRects().length > 0);
      const paper = shown('.paper')[0];
      const colours = [...(paper?.querySelectorAll('*') ?? [])].map((one) => getComputedStyle(one).color);
      return {
        nav: shown('.nav').length, cards: shown('.card').length, waters: shown('.paper-water').length, rulers: shown('.paper-water svg.ruler').length,
        verdicts: shown('.paper-verdict').length, lines: shown('.paper-lines span').length, cautions: shown('.paper-cautions li').length, steps: shown('.paper-steps li').length,
        date: paper?.querySelector('h1')?.textContent ?? '', inks: [...new Set(colours)],
      };
    });
    check(seen.nav === 0 && seen.cards === 0, 'the screen parts are not on paper');
    check(seen.waters === 4 && seen.rulers === 4 && seen.verdicts >= 4, `every water with verdict and ruler: ${JSON.stringify(seen)}`);
    check(seen.lines >= 4 * 4, 'lines to write what was really done');
    check(seen.cautions >= 1 && seen.steps >= 1, 'cautions and steps stand with the act');
    check(/\d{4}$/.test(seen.date), `the sheet carries its date: ${seen.date}`);
    check(seen.inks.length === 1, `one ink: ${seen.inks.join(', ')}`);
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

export const paperCases = [['print gives a day sheet on Letter and A4, in one ink', daySheet]];
