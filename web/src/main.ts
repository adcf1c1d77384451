import { mount } from 'svelte';

import App from './App.svelte';
import { httpBackend } from './contract/http';
import { start } from './state/session.svelte';
import './look.css';

const target = document.getElementById('page');
if (!target) throw new Error('the page has no place to stand in');
start(httpBackend());
mount(App, { target });
