// A file may be dropped anywhere; what it would become is shown first.
const input = () => document.querySelector('form.drop input[type=file]');

addEventListener('dragover', e => {
  if (input() && e.dataTransfer?.types.includes('Files')) e.preventDefault();
});
addEventListener('drop', e => {
  const to = input();
  if (!to || !e.dataTransfer?.files.length) return;
  e.preventDefault();
  to.files = e.dataTransfer.files;
  to.form.requestSubmit();
});
