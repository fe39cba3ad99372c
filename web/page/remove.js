// Trials and results are taken out of the notebook after a look at what goes.
import { ask, get } from './api.js';
import { $ } from './dom.js';

// remove asks, and gives the command that did it; null where all was kept.
export async function remove(path, title) {
  const { text, results } = await get(path + '/removal');
  $('remove-title').textContent = title;
  $('remove-text').textContent = text;
  const dialog = $('remove-dialog');
  return new Promise((done, failed) => {
    let went = false;
    $('remove-keep').onclick = () => dialog.close();
    $('remove-go').onclick = () => {
      went = true;
      dialog.close();
    };
    dialog.onclose = async () => {
      if (!went) return done(null);
      try {
        done((await ask('DELETE', `${path}?results=${results}`)).command);
      } catch (error) {
        failed(error);
      }
    };
    dialog.showModal();
    $('remove-keep').focus();
  });
}
